import type { Scenario } from "../../lib/scenario/scenario.ts";
import type { HashedFile } from "../../reports/page/sections.ts";
import { packageVersion } from "../files.ts";
import type { LoadedLog } from "../logfile.ts";

/** What a result was made by and from. */
export interface Provenance {
	readonly version: string;
	readonly log: HashedFile;
	readonly scenario: HashedFile;
}

/** This version, and the files that it was given. */
export const provenanceOf = (
	{ scenario, sha256 }: { readonly scenario: Scenario; readonly sha256: string },
	{ log, sha256: logHash }: LoadedLog,
): Provenance => ({
	version: packageVersion(),
	log: { name: log.fileName, sha256: logHash },
	scenario: { name: scenario.fileName, sha256 },
});

/** The files of a provenance, for the foot of a page. */
export const filesOf = ({ log, scenario }: Provenance): readonly HashedFile[] => [log, scenario];
