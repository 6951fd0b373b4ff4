/** Which screen is shown? It stands behind the # of the address, so that back and forward work. */

export interface Where {
  lesson: string; // empty: the list
  phrase: string; // empty: the whole lesson
}

export function href(lesson = "", phrase = ""): string {
  if (!lesson) return "#/";
  const base = `#/lesson/${encodeURIComponent(lesson)}`;
  return phrase ? `${base}/phrase/${encodeURIComponent(phrase)}` : base;
}

export function here(): Where {
  const parts = location.hash.slice(2).split("/");
  try {
    if (parts[0] !== "lesson") return { lesson: "", phrase: "" };
    const phrase = parts[2] === "phrase" ? decodeURIComponent(parts[3] ?? "") : "";
    return { lesson: decodeURIComponent(parts[1] ?? ""), phrase };
  } catch {
    return { lesson: "", phrase: "" };
  }
}
