import { plate, type State } from "../charts/section/states.ts";
import { type Html, html } from "./html.ts";

/** One of the two figures beside an answer. */
export interface HeadFigure {
	readonly value: string;
	readonly unit: string;
	readonly name: string;
	readonly note: string;
}

/** The answer of a page: at most six words, with its state by shape, colour and word. */
export interface Head {
	readonly state: State;
	/** HOLDS, FAILS, STOP … */
	readonly word: string;
	/** The subject, and what was asked of it. */
	readonly what: readonly [subject: string, question: string];
	readonly answer: string;
	readonly figures: readonly HeadFigure[];
}

export const head = ({ state, word, what: [subject, question], answer, figures }: Head): Html =>
	html`<section class="answer ${state}" id="answer" aria-labelledby="answer-h"><div class="in">
<p class="what"><b>${subject}</b> · ${question}</p>
<div class="verdict">
${plate(state)}
<div><p class="word">${word}</p><h1 id="answer-h">${answer}</h1></div>
<dl class="figs">${figures.map(
		({ value, unit, name, note }) =>
			html`<div><dt><b>${name}</b>${note}</dt><dd>${value}${unit !== "" && html`<small>${unit}</small>`}</dd></div>`,
	)}</dl>
</div>
</div></section>`;

/** The line at the top of the window that leads to the sections. */
export const contentsLine = (
	kind: string,
	entries: readonly { readonly id: string; readonly words: string }[],
): Html =>
	html`<nav class="line" aria-label="Contents"><div class="in">
<span class="mark"><svg viewBox="0 0 26 20" aria-hidden="true"><path fill="currentColor" d="M0 1H26V4.5H0ZM1 19L12 8.5L13 19L24 8.5L25 19Z"/></svg><span>Lullgust ${kind}</span></span>
<ul>${entries.map(({ id, words }) => html`<li><a href="#${id}">${words}</a></li>`)}</ul>
</div></nav>`;

/** Marks the section in view in the contents line, and opens what is folded for print. */
export const FURNITURE_SCRIPT = `{const links=[...document.querySelectorAll(".line a")];
const seen=new IntersectionObserver((entries)=>{for(const {isIntersecting,target} of entries)if(isIntersecting)for(const a of links){const here=a.hash==="#"+target.id;
if(here){a.setAttribute("aria-current","true");const list=a.closest("ul");list.scrollTo({left:a.parentElement.offsetLeft-list.offsetLeft-40});}else a.removeAttribute("aria-current");}},{rootMargin:"-15% 0px -75% 0px"});
for(const a of links){const section=document.getElementById(a.hash.slice(1));if(section)seen.observe(section);}
const opened=new Set();
addEventListener("beforeprint",()=>{for(const one of document.querySelectorAll("details:not([open])")){one.open=true;opened.add(one);}});
addEventListener("afterprint",()=>{for(const one of opened)one.open=false;opened.clear();});}
`;
