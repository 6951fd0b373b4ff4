/** The same picture twice on one screen: gives the second one names of its own. */
export function apart(html: string, prefix: string): string {
  const holder = document.createElement("template");
  holder.innerHTML = html;
  for (const each of holder.content.querySelectorAll("[id]")) each.id = prefix + each.id;
  for (const each of holder.content.querySelectorAll("[href^='#']")) {
    each.setAttribute("href", `#${prefix}${each.getAttribute("href")?.slice(1) ?? ""}`);
  }
  for (const name of ["aria-labelledby", "aria-describedby"]) {
    for (const each of holder.content.querySelectorAll(`[${name}]`)) {
      const ids = (each.getAttribute(name) ?? "").split(/\s+/).filter(Boolean);
      each.setAttribute(name, ids.map((id) => prefix + id).join(" "));
    }
  }
  return holder.innerHTML;
}
