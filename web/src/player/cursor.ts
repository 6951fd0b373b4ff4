/** Where on a drawn phrase are we? Lights the notes that sound and moves a line through the tab. */

import type { Heard } from "./player.js";

interface Stop {
  note: string;
  at: number;
  x: number;
  line: number;
}

interface Line {
  group: SVGGElement;
  right: number;
  top: number;
  bottom: number;
}

const NS = "http://www.w3.org/2000/svg";

/** Follows one picture of a phrase (`svg`), whose numbers carry the notes' names. */
export class Cursor {
  private mark: SVGLineElement | null = null;
  private lines: Line[] = [];
  private stops: Stop[] = [];
  private measuredFor: unknown = null;

  constructor(private readonly svg: SVGSVGElement) {}

  show(heard: Heard | null): void {
    if (!heard || Number.isNaN(heard.at) || !this.measure(heard)) {
      this.mark?.remove();
      this.mark = null;
      return;
    }
    const { line, x } = this.place(heard);
    const at = this.lines[line];
    if (!at) return;
    if (!this.mark) {
      this.mark = document.createElementNS(NS, "line");
      this.mark.setAttribute("class", "cursor");
    }
    if (this.mark.parentNode !== at.group) at.group.append(this.mark);
    this.mark.setAttribute("x1", String(x));
    this.mark.setAttribute("x2", String(x));
    this.mark.setAttribute("y1", String(at.top));
    this.mark.setAttribute("y2", String(at.bottom));
  }

  /** Places of all notes, measured once a tempo; false while the picture is not shown. */
  private measure(heard: Heard): boolean {
    if (this.measuredFor === heard.rung) return this.stops.length > 0;
    if (!this.svg.checkVisibility()) return false;
    this.lines = [...this.svg.querySelectorAll<SVGGElement>("g.system")].map((group) => {
      const box = (group.querySelector<SVGGElement>("g.tab") ?? group).getBBox();
      const whole = group.getBBox();
      return { group, right: whole.x + whole.width, top: whole.y, bottom: whole.y + whole.height, box };
    });
    const stops: Stop[] = [];
    for (const [note, begin] of heard.rung.times) {
      this.lines.forEach((line, index) => {
        const text = line.group.querySelector<SVGTextElement>(
          `[data-note="${CSS.escape(note)}"] text.fret, [data-note="${CSS.escape(note)}"] use`,
        );
        const x = text && middle(text, line.group);
        if (x != null) stops.push({ note, at: begin, x, line: index });
      });
    }
    stops.sort((a, b) => a.at - b.at || a.line - b.line);
    this.stops = stops;
    this.measuredFor = heard.rung;
    return stops.length > 0;
  }

  /** Between the note that was and the one that comes, as far as time has gone. */
  private place(heard: Heard): { line: number; x: number } {
    const stops = this.stops;
    const round = heard.rung.round;
    const at = heard.at > round + (stops[0]?.at ?? 0) && (stops[0]?.at ?? 0) < 0 ? heard.at - round : heard.at;
    let index = stops.findIndex((stop) => stop.at > at) - 1;
    if (index === -2) index = stops.length - 1;
    const last = stops[Math.max(0, index)] as Stop;
    const next = stops[Math.max(0, index) + 1];
    if (index < 0) return { line: last.line, x: last.x };
    const right = this.lines[last.line]?.right ?? last.x;
    const toX = next && next.line === last.line ? next.x : right;
    const toAt = next ? next.at : Math.max(round, last.at + heard.rung.beat);
    const share = toAt > last.at ? Math.min(1, (at - last.at) / (toAt - last.at)) : 0;
    return { line: last.line, x: last.x + (toX - last.x) * share };
  }
}

/** The middle of a mark, in the units of `group`. */
function middle(mark: SVGGraphicsElement, group: SVGGElement): number | null {
  const own = mark.getScreenCTM();
  const to = group.getScreenCTM();
  if (!own || !to) return null;
  const box = mark.getBBox();
  const point = new DOMPoint(box.x + box.width / 2, box.y).matrixTransform(to.inverse().multiply(own));
  return point.x;
}
