/** Every keystroke is kept in the browser until the server has it on the disk. */

export interface Draft {
  text: string;
  version: string; // what it was begun from
}

const key = (name: string): string => `lickwright:draft:${name}`;

export function keepDraft(name: string, draft: Draft): void {
  try {
    localStorage.setItem(key(name), JSON.stringify(draft));
  } catch {
    // A browser that keeps nothing: the server still has all but the last moment.
  }
}

export function dropDraft(name: string): void {
  try {
    localStorage.removeItem(key(name));
  } catch {
    // There is nothing to take away.
  }
}

export function draftOf(name: string): Draft | null {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(key(name)) ?? "null");
    if (typeof found !== "object" || found === null) return null;
    const { text, version } = found as Partial<Draft>;
    return typeof text === "string" && typeof version === "string" ? { text, version } : null;
  } catch {
    return null;
  }
}
