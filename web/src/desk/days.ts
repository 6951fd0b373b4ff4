/** When was that, in words? `seconds` since 1970. */
export function day(seconds: number | null | undefined): string {
  if (!seconds) return "";
  const then = new Date(seconds * 1000);
  const now = new Date();
  const time = then.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  if (then.toDateString() === now.toDateString()) return `today, ${time}`;
  const before = new Date(now.getTime() - 86_400_000);
  if (then.toDateString() === before.toDateString()) return `yesterday, ${time}`;
  return then.toLocaleDateString([], { day: "numeric", month: "short", year: "numeric" });
}
