/** Which rows and which hand does the pupil want to see? The page's style does it; this remembers. */

const KEY = "lickwright:view";

export function keepView(): void {
  const boxes = [...document.querySelectorAll<HTMLInputElement>("input[data-view]")];
  const wanted = remembered();
  for (const box of boxes) {
    const name = box.dataset["view"] ?? "";
    if (wanted[name] !== undefined) box.checked = wanted[name];
    box.addEventListener("change", () => {
      const all = Object.fromEntries(boxes.map((each) => [each.dataset["view"], each.checked]));
      try {
        localStorage.setItem(KEY, JSON.stringify(all));
      } catch {
        // It lasts until the page is closed.
      }
    });
  }
}

function remembered(): Record<string, boolean> {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(KEY) ?? "{}");
    return typeof found === "object" && found !== null ? (found as Record<string, boolean>) : {};
  } catch {
    return {};
  }
}
