/** How do encoded sounds become buffers whose times can be trusted to the sample? */

import type { SoundSource } from "./data.js";

/** Where one single sample stands in every sound; see `lickwright/sound/stems.py`. */
const MARK_SECONDS = 0.1;
const SEARCHED_SECONDS = 0.25;

export interface Stem {
  buffer: AudioBuffer;
  delay: number; // seconds that the decoder has put before the sound
}

export interface Stems {
  lead: Stem;
  band: Stem | null;
}

export async function decode(context: BaseAudioContext, source: SoundSource): Promise<Stems> {
  const { lead, band } = await source();
  return {
    lead: await stem(context, lead),
    band: band ? await stem(context, band) : null,
  };
}

async function stem(context: BaseAudioContext, bytes: ArrayBuffer): Promise<Stem> {
  const buffer = await context.decodeAudioData(bytes);
  const head = buffer.getChannelData(0).subarray(0, Math.round(SEARCHED_SECONDS * buffer.sampleRate));
  let loudest = 0;
  head.forEach((value, index) => {
    if (Math.abs(value) > Math.abs(head[loudest] ?? 0)) loudest = index;
  });
  return { buffer, delay: loudest / buffer.sampleRate - MARK_SECONDS };
}

/** The bytes of a text in base64. */
export function bytes(base64: string): ArrayBuffer {
  const text = atob(base64.trim());
  const made = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i += 1) made[i] = text.charCodeAt(i);
  return made.buffer;
}
