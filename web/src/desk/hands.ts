/** The table of both hands, a row a note: what may be heard and what other finger or string may be chosen. */

import { html, type TemplateResult } from "lit";
import type { Close, Hand, OtherString } from "./api.js";

export interface HandsAsked {
  hear(note: string): void;
  finger(note: string, finger: string, place: string): void; // try another finger
  strings(note: string): void; // look for other strings
  string(other: OtherString, where: string, place: string): void; // try one of them
}

/** `lit`: the note that is chosen; `strings`: by note, of those that were asked for. */
export function handTable(
  found: Close,
  lit: string,
  strings: Record<string, OtherString[]>,
  asked: HandsAsked,
): TemplateResult {
  return html`<div class="scroll" tabindex="0" role="region" aria-label="Finger and stroke of every note">
    <table>
      <thead>
        <tr>
          <th scope="col">Bar, count</th>
          <th scope="col">String</th>
          <th scope="col">Fret</th>
          <th scope="col">Finger</th>
          <th scope="col">Pick</th>
          <th scope="col">Why this finger, and what another would cost</th>
          <th scope="col">Hear it, or play it on another string</th>
        </tr>
      </thead>
      <tbody>
        ${found.hands.notes.map((hand) => {
          const place = `bar ${hand.bar}, count ${hand.count}, ${hand.string} string`;
          return html`<tr data-hand=${hand.note} class=${lit === hand.note ? "lit" : ""}>
            <td>${hand.bar}, ${hand.count}</td>
            <td>${hand.string}</td>
            <td>${hand.fret}</td>
            <td>${hand.suggested ? `(${hand.finger})` : hand.finger}</td>
            <td>${hand.stroke}</td>
            <td class="cost">
              ${hand.why}
              ${(found.others[hand.note] ?? []).map(
                (each) =>
                  html`<button type="button" class="quiet" aria-label="${each.finger} ${points(each.extra)} points: finger ${each.finger} at ${place}" @click=${() => asked.finger(hand.note, each.finger, place)}>
                    ${each.finger} <span class="facts">${points(each.extra)}</span>
                  </button>`,
              )}
            </td>
            <td class="do">
              <button type="button" class="quiet" aria-label="Hear: the note at ${place}" @click=${() => asked.hear(hand.note)}>Hear</button>
              ${onStrings(hand, place, strings[hand.note], asked)}
            </td>
          </tr>`;
        })}
      </tbody>
    </table>
  </div>`;
}

function onStrings(
  hand: Hand,
  place: string,
  found: OtherString[] | undefined,
  asked: HandsAsked,
): TemplateResult | TemplateResult[] {
  if (!found) {
    return html`<button type="button" class="quiet" aria-label="Other strings for the note at ${place}" @click=${() => asked.strings(hand.note)}>
      Other strings
    </button>`;
  }
  if (!found.length) return html`<span class="facts">no other string</span>`;
  return found.map((each) => {
    const where = `${each.string} string, fret ${each.fret}`;
    return html`<button type="button" class="quiet" aria-label="${where}, ${points(each.extra)} points: the note at ${place}" @click=${() => asked.string(each, where, place)}>
      ${where} <span class="facts">${points(each.extra)}</span>
    </button>`;
  });
}

/** Points with their sign. */
function points(extra: number): string {
  return extra < 0 ? `−${-extra}` : `+${extra}`;
}
