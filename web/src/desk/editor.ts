/** The editor of a lesson's text: colours, problems underlined, words offered, rows kept aligned. */

import { autocompletion, completionKeymap, type CompletionContext, type CompletionResult } from "@codemirror/autocomplete";
import { defaultKeymap, history, historyKeymap, indentWithTab } from "@codemirror/commands";
import { lintGutter, lintKeymap, setDiagnostics, type Diagnostic } from "@codemirror/lint";
import { highlightSelectionMatches, searchKeymap } from "@codemirror/search";
import { EditorState, RangeSetBuilder, type Extension } from "@codemirror/state";
import {
  Decoration,
  type DecorationSet,
  EditorView,
  ViewPlugin,
  type ViewUpdate,
  crosshairCursor,
  drawSelection,
  highlightActiveLine,
  keymap,
  lineNumbers,
  rectangularSelection,
} from "@codemirror/view";
import type { Problem, Words } from "./api.js";
import { blockAt, blocks, gridHelp } from "./grid.js";
import { isRow, isString } from "./rows.js";

export interface Asked {
  changed(text: string): void;
  moved(phrase: string): void; // the cursor came into a phrase, or "" for none
  save(): void;
}

export function makeEditor(parent: HTMLElement, text: string, words: Words, asked: Asked): EditorView {
  let phrase = "";
  const listening = EditorView.updateListener.of((update) => {
    if (update.docChanged) asked.changed(update.state.doc.toString());
    if (update.docChanged || update.selectionSet) {
      const block = blockAt(update.state, update.state.doc.lineAt(update.state.selection.main.head).number);
      const now = block?.kind === "lick" ? block.name : "";
      if (now !== phrase) asked.moved((phrase = now));
    }
  });
  return new EditorView({ parent, state: EditorState.create({ doc: text, extensions: [extensions(words, asked), listening] }) });
}

function extensions(words: Words, asked: Asked): Extension {
  return [
    lineNumbers(),
    lintGutter(),
    history(),
    drawSelection(),
    rectangularSelection(),
    crosshairCursor(),
    highlightActiveLine(),
    highlightSelectionMatches(),
    EditorState.allowMultipleSelections.of(true),
    gridHelp(),
    autocompletion({ override: [(context) => offered(context, words)], icons: false }),
    keymap.of([
      { key: "Mod-s", run: () => (asked.save(), true), preventDefault: true },
      ...lintKeymap,
      ...searchKeymap,
      ...completionKeymap,
      ...historyKeymap,
      ...defaultKeymap,
    ]),
    colours,
    EditorView.contentAttributes.of({ "aria-label": "The lesson's text", spellcheck: "false", tabindex: "0" }),
  ];
}

/** Tab is left to those who move by keyboard; this can be asked for. */
export const tabIndents = keymap.of([indentWithTab]);

/** Put the whole text in, as the smallest change, so that the cursor stays where it is. */
export function replaceText(view: EditorView, text: string): void {
  const old = view.state.doc.toString();
  if (old === text) return;
  let start = 0;
  while (start < old.length && start < text.length && old[start] === text[start]) start += 1;
  let end = 0;
  const most = Math.min(old.length, text.length) - start;
  while (end < most && old[old.length - 1 - end] === text[text.length - 1 - end]) end += 1;
  view.dispatch({ changes: { from: start, to: old.length - end, insert: text.slice(start, text.length - end) } });
}

/** Underline what is wrong, with the mend one click away. */
export function showProblems(view: EditorView, problems: Problem[]): void {
  const doc = view.state.doc;
  const found: Diagnostic[] = problems.map((problem) => {
    const line = doc.line(Math.min(problem.line, doc.lines));
    const from = Math.min(line.from + problem.column - 1, line.to);
    const word = /^[^\s|-]+|^./.exec(line.text.slice(problem.column - 1))?.[0].length ?? 1;
    const to = Math.min(line.to, from + word);
    return {
      from: from === to && from > line.from ? from - 1 : from,
      to,
      severity: "error",
      message: `${problem.what}. Mend: ${problem.mend}`,
      actions: problem.fixes.length
        ? [{ name: "Mend it", apply: (editor: EditorView) => applyFixes(editor, problem) }]
        : [],
    };
  });
  view.dispatch(setDiagnostics(view.state, found));
}

/** Put the corrected lines of a problem in. */
export function applyFixes(view: EditorView, problem: Problem): void {
  const doc = view.state.doc;
  const changes = problem.fixes
    .filter((fix) => fix.line <= doc.lines)
    .map((fix) => ({ from: doc.line(fix.line).from, to: doc.line(fix.line).to, insert: fix.text }));
  view.dispatch({ changes, userEvent: "input.mend" });
}

const VALUES: Record<string, keyof Words> = {
  key: "keys", scale: "scales", chord: "chords", chords: "chords", form: "forms", feel: "feels",
  meter: "meters", show: "shows", players: "players", tuning: "tunings",
};

function offered(context: CompletionContext, words: Words): CompletionResult | null {
  const line = context.state.doc.lineAt(context.pos);
  const before = line.text.slice(0, context.pos - line.from);
  const list = (from: number, labels: string[], after = ""): CompletionResult => ({
    from,
    options: labels.map((label) => ({ label, apply: label + after })),
    validFor: /^[\w# -]*$/,
  });
  const fence = /^```(\w*)$/.exec(before);
  if (fence) return list(line.from + 3, words.blocks, " ");
  const block = blockAt(context.state, line.number);
  const head = line.number > 1 && inHead(context.state, line.number);
  if (!block && !head) return null;
  const value = /^\s*([a-z-]+):\s*(?:.*[|,]\s*)?([^|,]*)$/.exec(before);
  if (value) {
    const known = VALUES[value[1] ?? ""];
    if (!known || (!value[2] && !context.explicit)) return null;
    return list(context.pos - (value[2] ?? "").length, words[known] as string[]);
  }
  if (isRow(line.text)) {
    const chord = /^\s*chord\s*\|.*?([A-G][^\s|]*)$/.exec(before);
    return chord ? list(context.pos - (chord[1] ?? "").length, words.chords) : null;
  }
  const name = /^\s*([a-z-]*)$/.exec(before);
  if (!name || (!name[1] && !context.explicit)) return null;
  const kind = block?.kind ?? "";
  return list(context.pos - (name[1] ?? "").length, words.of[kind] ?? words.settings, ": ");
}

function inHead(state: EditorState, number: number): boolean {
  if (state.doc.line(1).text.trim() !== "---") return false;
  for (let each = 2; each < number; each += 1) if (state.doc.line(each).text.startsWith("---")) return false;
  return true;
}

const mark = (name: string): Decoration => Decoration.mark({ class: name });
const MARKS = {
  fence: mark("tok-fence"), name: mark("tok-name"), setting: mark("tok-setting"), label: mark("tok-label"),
  dash: mark("tok-dash"), heading: mark("tok-heading"), bar: mark("tok-bar"), word: mark("tok-word"),
};
const LINES = { block: Decoration.line({ class: "in-block" }) };

/** Colours of what is on the screen. */
const colours = ViewPlugin.fromClass(
  class {
    decorations: DecorationSet;
    constructor(view: EditorView) {
      this.decorations = coloured(view);
    }
    update(update: ViewUpdate): void {
      if (update.docChanged || update.viewportChanged) this.decorations = coloured(update.view);
    }
  },
  { decorations: (plugin) => plugin.decorations },
);

function coloured(view: EditorView): DecorationSet {
  const made = new RangeSetBuilder<Decoration>();
  const known = blocks(view.state);
  for (const { from, to } of view.visibleRanges) {
    for (let at = from; at <= to; ) {
      const line = view.state.doc.lineAt(at);
      const block = known.find((each) => each.line <= line.number && line.number <= each.end);
      if (block) made.add(line.from, line.from, LINES.block);
      colourLine(made, line.from, line.text, block !== undefined || inHead(view.state, line.number));
      at = line.to + 1;
    }
  }
  return made.finish();
}

function colourLine(made: RangeSetBuilder<Decoration>, from: number, text: string, inBlock: boolean): void {
  const fence = /^(\s*```\w*)(\s+\S+)?/.exec(text);
  if (fence) {
    const end = from + (fence[1] ?? "").length;
    made.add(from, end, MARKS.fence);
    if (fence[2]) made.add(end, end + fence[2].length, MARKS.name);
  } else if (inBlock && isRow(text)) {
    const first = text.indexOf("|");
    if (first > 0) made.add(from, from + first, MARKS.label);
    const rest = isString(text) ? /-+|\|/g : /\|/g;
    for (const found of text.slice(first).matchAll(rest)) {
      const at = from + first + found.index;
      made.add(at, at + found[0].length, found[0] === "|" ? MARKS.bar : MARKS.dash);
    }
  } else if (inBlock) {
    const setting = /^\s*[a-z-]+( \d+)?\s*:/.exec(text);
    if (setting) made.add(from, from + setting[0].length, MARKS.setting);
  } else if (/^#{1,6} /.test(text)) made.add(from, from + text.length, MARKS.heading);
}
