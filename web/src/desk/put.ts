/** How do blocks and sentences come into the text? Every change is one step for undo. */

import type { EditorView } from "@codemirror/view";
import { blockAt, blocks } from "./grid.js";
import { barCounts } from "./rows.js";

/** Write a block behind the line of the cursor, or behind the block that it stands in. */
export function insertBlock(view: EditorView, text: string): void {
  const doc = view.state.doc;
  const at = doc.lineAt(view.state.selection.main.head).number;
  const block = blockAt(view.state, at);
  const line = doc.line(at <= headEnd(view) ? doc.lines : (block?.end ?? at));
  const insert = `${line.length ? "\n\n" : "\n"}${text}\n`;
  const grid = insert.indexOf("\n", insert.indexOf("```")) + 1;
  view.dispatch({
    changes: { from: line.to, insert },
    selection: { anchor: line.to + grid },
    scrollIntoView: true,
    userEvent: "input",
  });
  view.focus();
}

/** The line that ends the settings at the top; 0 if there are none. */
function headEnd(view: EditorView): number {
  const doc = view.state.doc;
  if (doc.line(1).text.trim() !== "---") return 0;
  for (let number = 2; number <= doc.lines; number += 1) if (doc.line(number).text.startsWith("---")) return number;
  return 0;
}

/** Put another block in the place of a phrase, or behind it; false if the phrase is not there. */
export function putBlock(view: EditorView, name: string, text: string, behind: boolean): boolean {
  const block = blocks(view.state).find((each) => each.kind === "lick" && each.name === name);
  if (!block) return false;
  const from = view.state.doc.line(block.line).from;
  const to = view.state.doc.line(block.end).to;
  const changes = behind ? { from: to, insert: `\n\n${text}` } : { from, to, insert: text };
  view.dispatch({ changes, userEvent: "input" });
  return true;
}

/** Write a sentence above a phrase. */
export function putSentence(view: EditorView, phrase: string, sentence: string): void {
  const block = blocks(view.state).find((each) => each.kind === "lick" && each.name === phrase);
  if (!block) return;
  const from = view.state.doc.line(block.line).from;
  view.dispatch({ changes: { from, insert: `${sentence}\n\n` }, userEvent: "input" });
}

/** A name like `name` that is not taken. */
export function freeName(name: string, taken: ReadonlySet<string>): string {
  let made = name;
  for (let number = 2; taken.has(made); number += 1) made = `${name}-${number}`;
  return made;
}

/** A block whose phrase has a name that is not taken. */
export function renamed(block: string, taken: ReadonlySet<string>): string {
  const name = /^```lick (\S+)/.exec(block)?.[1] ?? "new-phrase";
  return block.replace(/^```lick \S+/, "```lick " + freeName(name, taken));
}

/** A phrase of one empty bar, to be written over. */
export function emptyLick(name: string): string {
  const counts = barCounts("4/4");
  const dashes = "-".repeat(counts.length);
  const strings = ["e", "B", "G", "D", "A", "E"].map((label) => `${label}     |${dashes}|`);
  return [`\`\`\`lick ${name}`, ...strings, `count |${counts}|`, "```"].join("\n");
}
