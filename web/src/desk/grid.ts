/** How does the editor treat the rows of a phrase? Typing writes over, columns stay together. */

import { type ChangeSpec, type EditorState, Prec, type Extension } from "@codemirror/state";
import { EditorView, keymap, type Command } from "@codemirror/view";
import * as rows from "./rows.js";

export interface Group {
  first: number; // line of the document, from 1
  rows: string[];
  place: rows.Place;
  opening: number; // line of the block's fence
}

/** The rows around the cursor, if it stands in the rows of a lick. */
export function groupAt(state: EditorState): Group | null {
  const range = state.selection.main;
  const line = state.doc.lineAt(range.head);
  if (!rows.isRow(line.text)) return null;
  const opening = blockAt(state, line.number);
  if (opening?.kind !== "lick") return null;
  let first = line.number;
  let last = line.number;
  while (first > 1 && rows.isRow(state.doc.line(first - 1).text)) first -= 1;
  while (last < state.doc.lines && rows.isRow(state.doc.line(last + 1).text)) last += 1;
  const texts: string[] = [];
  for (let number = first; number <= last; number += 1) texts.push(state.doc.line(number).text);
  return {
    first,
    rows: texts,
    place: { row: line.number - first, column: range.head - line.from },
    opening: opening.line,
  };
}

export interface BlockPlace {
  kind: string;
  name: string;
  line: number; // of its fence
  end: number; // of its closing fence, or the last line of the text
}

/** The block that a line stands in, fences included. */
export function blockAt(state: EditorState, number: number): BlockPlace | null {
  return blocks(state).find((block) => block.line <= number && number <= block.end) ?? null;
}

/** All blocks of a lesson. */
export function blocks(state: EditorState): BlockPlace[] {
  const found: BlockPlace[] = [];
  let open: BlockPlace | null = null;
  for (let number = 1; number <= state.doc.lines; number += 1) {
    const text = state.doc.line(number).text;
    if (open) {
      open.end = number;
      if (/^\s{0,3}```\s*$/.test(text)) open = null;
      continue;
    }
    const fence = /^\s{0,3}```\s*(\w*)\s*(\S*)/.exec(text);
    if (fence) {
      open = { kind: fence[1] ?? "", name: fence[2] ?? "", line: number, end: number };
      found.push(open);
    }
  }
  return found;
}

/** The meter of the block whose fence is in line `opening`: its own, the lesson's, or 4/4. */
export function meterAt(state: EditorState, opening: number): string {
  const meter = /^\s*meter:\s*(\d+\/\d+)/;
  for (let number = opening + 1; number <= state.doc.lines; number += 1) {
    const text = state.doc.line(number).text;
    if (rows.isRow(text) || text.startsWith("```")) break;
    const found = meter.exec(text);
    if (found?.[1]) return found[1];
  }
  for (let number = 2; number <= Math.min(40, state.doc.lines); number += 1) {
    const text = state.doc.line(number).text;
    if (text.startsWith("---")) break;
    const found = meter.exec(text);
    if (found?.[1]) return found[1];
  }
  return "4/4";
}

/** Put changed rows into the document in one step, so that one undo takes them back. */
function take(view: EditorView, group: Group, changed: rows.Changed | null, event: string): boolean {
  if (!changed) return false;
  const changes: ChangeSpec[] = [];
  changed.rows.forEach((text, index) => {
    const line = view.state.doc.line(group.first + index);
    if (line.text !== text) changes.push(least(line.from, line.text, text));
  });
  const set = view.state.changes(changes);
  const after = set.apply(view.state.doc).line(group.first + changed.row);
  view.dispatch({
    changes: set,
    selection: { anchor: Math.min(after.from + changed.column, after.to) },
    userEvent: event,
    scrollIntoView: true,
  });
  return true;
}

/** The smallest change from one text to another. */
function least(from: number, old: string, fresh: string): ChangeSpec {
  let start = 0;
  while (start < old.length && start < fresh.length && old[start] === fresh[start]) start += 1;
  let end = 0;
  const most = Math.min(old.length, fresh.length) - start;
  while (end < most && old[old.length - 1 - end] === fresh[fresh.length - 1 - end]) end += 1;
  return { from: from + start, to: from + old.length - end, insert: fresh.slice(start, fresh.length - end) };
}

function command(change: (group: Group, state: EditorState) => rows.Changed | null, event: string): Command {
  return (view) => {
    const one = view.state.selection.ranges.length === 1 && view.state.selection.main.empty;
    const group = one ? groupAt(view.state) : null;
    return group ? take(view, group, change(group, view.state), event) : false;
  };
}

function jump(step: 1 | -1): Command {
  return (view) => {
    const group = groupAt(view.state);
    const to = group && rows.nextCount(group.rows, group.place, step);
    if (!group || !to) return false;
    const line = view.state.doc.line(group.first + to.row);
    view.dispatch({ selection: { anchor: Math.min(line.from + to.column, line.to) }, scrollIntoView: true });
    return true;
  };
}

export const commands = {
  insertColumn: command(({ rows: all, place }) => rows.insertColumn(all, place), "input"),
  removeColumn: command(({ rows: all, place }) => rows.removeColumn(all, place), "delete"),
  insertBar: command(
    ({ rows: all, place, opening }, state) => rows.insertBar(all, place, meterAt(state, opening)),
    "input",
  ),
  removeBar: command(({ rows: all, place }) => rows.removeBar(all, place), "delete"),
  nextCount: jump(1),
  previousCount: jump(-1),
};

/** Everything that makes the rows of a phrase easy to write. */
export function gridHelp(): Extension {
  const typing = EditorView.inputHandler.of((view, from, to, text) => {
    if (text.length !== 1 || from !== to || view.composing || view.state.selection.ranges.length > 1) return false;
    const group = groupAt(view.state);
    if (!group || text === "|") return false;
    return take(view, group, rows.type(group.rows, group.place, text), "input.type");
  });
  const keys = keymap.of([
    { key: "Backspace", run: command(({ rows: all, place }) => rows.erase(all, place, true), "delete.backward") },
    { key: "Delete", run: command(({ rows: all, place }) => rows.erase(all, place, false), "delete.forward") },
    { key: "Alt-ArrowRight", run: commands.nextCount },
    { key: "Alt-ArrowLeft", run: commands.previousCount },
    { key: "Alt-i", run: commands.insertColumn, preventDefault: true },
    { key: "Alt-u", run: commands.removeColumn, preventDefault: true },
    { key: "Alt-Enter", run: commands.insertBar },
    { key: "Alt-Backspace", run: commands.removeBar },
  ]);
  return [Prec.high(keys), typing];
}
