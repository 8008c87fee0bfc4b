import type { Explored } from "../explored.ts";
import { encodeState } from "../state.ts";
import { byId, say } from "./dom.ts";

/** Puts the state into the address, and the address into its field. */
export function keepInAddress({ state }: Explored): void {
	const fragment = `#${encodeState(state)}`;
	if (location.hash !== fragment) history.replaceState(null, "", fragment);
	byId<HTMLInputElement>("link").value = location.href;
}

/** Saves the state as a scenario file beside the one that the page was made of. */
export function saveScenario({ text }: Explored, fileName: string): void {
	const link = document.createElement("a");
	link.href = `data:text/yaml;charset=utf-8,${encodeURIComponent(text)}`;
	link.download = `${fileName.replace(/^.*[\\/]/, "").replace(/\.(ya?ml|json)$/i, "")}-explored.yaml`;
	link.click();
	const isWrong = document.querySelector("[aria-invalid=true]") !== null;
	say(
		byId("done"),
		`Saved as ${link.download}: lullgust compare gives the same values.${isWrong ? " The wrong entry is not in it, but the last valid one." : ""}`,
	);
}

export async function copyLink(explored: Explored): Promise<void> {
	keepInAddress(explored);
	const link = byId<HTMLInputElement>("link");
	link.select();
	try {
		await navigator.clipboard.writeText(link.value);
		say(byId("done"), "The link is copied. It works wherever this file is.");
	} catch (error) {
		// A browser may forbid it: the link is selected, and the reader copies it.
		if (!(error instanceof DOMException)) throw error;
		say(byId("done"), "Copy the link that is selected.");
	}
}
