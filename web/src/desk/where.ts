/** Which screen is shown? It stands behind the # of the address, so that back and forward work. */

export interface Where {
  lesson: string; // empty: the list
  phrase: string; // empty: the whole lesson
  takes: boolean; // the takes of its pupils
}

export function href(lesson = "", phrase = ""): string {
  if (!lesson) return "#/";
  const base = `#/lesson/${encodeURIComponent(lesson)}`;
  return phrase ? `${base}/phrase/${encodeURIComponent(phrase)}` : base;
}

export function takesOf(lesson: string): string {
  return `${href(lesson)}/takes`;
}

const NOWHERE: Where = { lesson: "", phrase: "", takes: false };

export function here(): Where {
  const parts = location.hash.slice(2).split("/");
  try {
    if (parts[0] !== "lesson") return NOWHERE;
    const phrase = parts[2] === "phrase" ? decodeURIComponent(parts[3] ?? "") : "";
    return { lesson: decodeURIComponent(parts[1] ?? ""), phrase, takes: parts[2] === "takes" };
  } catch {
    return NOWHERE;
  }
}
