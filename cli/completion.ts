import { generalOptions } from "./help.ts";
import type { Verb } from "./verb.ts";

/**
 * The script that goes to the end of ~/.bashrc or ~/.zshrc. Both shells parse all of it, so it uses only what both can parse;
 * it asks the command for words at each Tab, so it never ages. Without the command it offers file names, as before.
 */
export const completionScript = `# Completion of lullgust, for bash and zsh. It needs the installed command: npm install --global lullgust
_lullgust_words() {
	command -v lullgust >/dev/null 2>&1 && lullgust completion -- "$@" 2>/dev/null
	return 0
}
if [ -n "\${BASH_VERSION-}" ]; then
	_lullgust_bash() {
		local words
		words="$(_lullgust_words "\${COMP_WORDS[@]:1:COMP_CWORD}")"
		COMPREPLY=($(compgen -W "$words" -- "\${COMP_WORDS[COMP_CWORD]}")) || COMPREPLY=()
	}
	complete -o bashdefault -o default -F _lullgust_bash lullgust
elif [ -n "\${ZSH_VERSION-}" ]; then
	_lullgust_zsh() {
		local -a offers
		offers=(\${(f)"$(_lullgust_words "\${(@)words[2,CURRENT]}")"})
		compadd -a offers || _files
	}
	# -i: on a machine where others may write to the function folders, no question at start-up.
	if ! whence compdef >/dev/null; then autoload -Uz compinit && compinit -i; fi
	compdef _lullgust_zsh lullgust
fi
# End of the completion of lullgust.
`;

/** What may stand for the last of the words after \`lullgust\`; nothing where a file name or a value of one's own is due. */
export function completions(words: readonly string[], verbs: readonly Verb[]): readonly string[] {
	const typed = words.at(-1) ?? "";
	const before = words.slice(0, -1);
	const [name, ...after] = before[0] === "help" ? before.slice(1) : before;
	const names = verbs.map((verb) => verb.name);
	const options = (known: readonly string[]) =>
		[...known, ...generalOptions].map((option) => `--${option}`).filter((option) => !before.includes(option));

	if (name === undefined)
		return typed.startsWith("-") ? options([]) : [...names, ...(before.length === 0 ? ["help"] : [])];
	const verb = verbs.find((each) => each.name === name);
	if (verb === undefined || before[0] === "help") return [];
	const asked = verb.options[after.at(-1)?.replace(/^--/, "") ?? ""];
	if (asked?.requiresArg && after.at(-1)?.startsWith("--")) return (asked.choices ?? []).map(String);
	return typed.startsWith("-") ? options(Object.keys(verb.options)) : [];
}
