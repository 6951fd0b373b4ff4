/** How are the rows of a phrase changed so that what belongs together stays in one column?
 *
 * A group is the rows of one line of music: string rows and the rows under and over them. All
 * functions give back whole new rows, or null if they do not apply. Rows and columns count from 0.
 */

export interface Place {
  row: number;
  column: number;
}

export interface Changed extends Place {
  rows: string[];
}

const WORD_ROWS = new Set(["chord", "count", "finger", "pick", "mark"]);

export function isRow(text: string): boolean {
  return /^\s*[A-Za-z][A-Za-z#♯♭]*\s*\|/.test(text);
}

function label(row: string): string {
  return row.slice(0, row.indexOf("|")).trim();
}

export function isString(row: string): boolean {
  return isRow(row) && !WORD_ROWS.has(label(row));
}

const filler = (row: string): string => (isString(row) ? "-" : " ");
const put = (row: string, at: number, text: string, over: number): string =>
  row.slice(0, at) + text + row.slice(at + over);

/** True if the place is inside the bars of a row. */
export function inside(rows: readonly string[], { row, column }: Place): boolean {
  const text = rows[row];
  return text !== undefined && isRow(text) && column > text.indexOf("|") && column <= text.lastIndexOf("|");
}

/** Type a character over what stands there; at a bar line all rows get a column more. */
export function type(rows: readonly string[], place: Place, char: string): Changed | null {
  if (!inside(rows, place)) return null;
  const { row, column } = place;
  let made = [...rows];
  if (made[row]?.[column] === "|") {
    const wider = insertColumn(made, place);
    if (!wider) return null;
    made = wider.rows;
  }
  made[row] = put(made[row] ?? "", column, char, 1);
  return { rows: made, row, column: column + 1 };
}

/** Take away what stands before (`back`) or at the place; the columns stay. */
export function erase(rows: readonly string[], place: Place, back: boolean): Changed | null {
  if (!inside(rows, place)) return null;
  const { row } = place;
  const at = back ? place.column - 1 : place.column;
  const text = rows[row] ?? "";
  if (at <= text.indexOf("|")) return null;
  const made = [...rows];
  if (text[at] !== "|") made[row] = put(text, at, filler(text), 1);
  else if (!back) return null;
  return { rows: made, row, column: back ? at : place.column };
}

/** A new empty column at the place, in every row; words and numbers are not torn apart. */
export function insertColumn(rows: readonly string[], place: Place): Changed | null {
  if (!inside(rows, place)) return null;
  const made = rows.map((text) => {
    if (!isRow(text) || place.column > text.lastIndexOf("|")) return text;
    return put(text, untorn(text, place.column), filler(text), 0);
  });
  return { ...place, rows: made };
}

/** The next place at or behind `at` at which a row can be opened without tearing something. */
function untorn(text: string, at: number): number {
  const torn = isString(text) ? /[0-9]/ : /[^\s|]/;
  let place = at;
  while (torn.test(text[place - 1] ?? "") && torn.test(text[place] ?? "")) place += 1;
  return place;
}

/** Take the column at the place out of every row; null if something stands in it. */
export function removeColumn(rows: readonly string[], place: Place): Changed | null {
  if (!inside(rows, place)) return null;
  const { column } = place;
  const made: string[] = [];
  for (const text of rows) {
    const end = text.lastIndexOf("|");
    if (!isRow(text) || column > end) made.push(text);
    else if (column === end && !isString(text)) made.push(text);
    else if (!/[-= ]/.test(text[column] ?? "")) return null;
    else made.push(put(text, column, "", 1));
  }
  return { ...place, rows: made };
}

/** Where the bar lines stand, as its first string row shows them. */
function barLines(rows: readonly string[]): number[] {
  const row = rows.find(isString) ?? "";
  return [...row.matchAll(/\|/g)].map((found) => found.index);
}

function bar(rows: readonly string[], column: number): [number, number] | null {
  const lines = barLines(rows);
  const next = lines.findIndex((at) => at >= column);
  const end = lines[next === 0 ? 1 : next];
  const begin = lines[(next === 0 ? 1 : next) - 1];
  return begin === undefined || end === undefined ? null : [begin, end];
}

/** An empty bar of a meter behind the one at the place. */
export function insertBar(rows: readonly string[], place: Place, meter: string): Changed | null {
  const own = bar(rows, place.column);
  if (!inside(rows, place) || !own) return null;
  const counts = barCounts(meter);
  const width = counts.length;
  const made = rows.map((text) => {
    if (!isRow(text)) return text;
    const padded = closed(text, own[1]);
    const cell = isString(text) ? "-".repeat(width) : label(text) === "count" ? counts : " ".repeat(width);
    return put(padded, own[1] + 1, `${cell}|`, 0);
  });
  return { rows: made, row: place.row, column: own[1] + 1 };
}

/** A row of words whose last bar line stands early, with that line where the others have it. */
function closed(text: string, at: number): string {
  const end = text.lastIndexOf("|");
  return end >= at ? text : `${text.slice(0, end).padEnd(at)}|`;
}

/** What is counted in an empty bar, one word a beat with room for a note under each. */
export function barCounts(meter: string): string {
  const [beats = 4, part = 4] = meter.split("/").map(Number);
  const words: string[] = [];
  if (part === 8 && beats > 3 && beats % 3 === 0) {
    for (let beat = 1; beat <= beats / 3; beat += 1) words.push(String(beat), "&", "a");
  } else for (let beat = 1; beat <= beats; beat += 1) words.push(String(beat));
  return words.map((word) => word.padEnd(4)).join("");
}

/** Take the bar at the place out of every row; null if it is the only one. */
export function removeBar(rows: readonly string[], place: Place): Changed | null {
  const own = bar(rows, place.column);
  if (!inside(rows, place) || !own || barLines(rows).length < 3) return null;
  const made = rows.map((text) => {
    if (!isRow(text)) return text;
    const end = text.lastIndexOf("|");
    if (end <= own[0]) return text;
    return end < own[1] ? text.slice(0, own[0] + 1) : put(text, own[0] + 1, "", own[1] - own[0]);
  });
  return { rows: made, row: place.row, column: own[0] + 1 };
}

/** The column of the next count (`step` 1) or the one before (-1); null if there is none. */
export function nextCount(rows: readonly string[], place: Place, step: 1 | -1): Place | null {
  const row = rows.find((text) => isRow(text) && label(text) === "count");
  if (!row || !isRow(rows[place.row] ?? "")) return null;
  const counts = [...row.matchAll(/[^\s|]+/g)]
    .map((found) => found.index + (found[0].startsWith("(") ? 1 : 0))
    .filter((at) => at > row.indexOf("|"));
  const wanted = step > 0 ? counts.find((at) => at > place.column) : counts.findLast((at) => at < place.column);
  return wanted === undefined ? null : { row: place.row, column: wanted };
}
