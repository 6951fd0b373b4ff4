/** What the player is told about a phrase. All times in seconds. */

export interface Rung {
  tempo: number; // beats a minute
  lead: number; // where the phrase's first count stands in the sound of the lead
  band: number | null; // where the 1 of the first full bar stands in the sound of the band
  first: number; // the phrase's first count, from the 1 of the first full bar; less than 0 in a pickup
  round: number; // from one time through to the next
  beat: number; // length of a beat
  at: number[]; // of each place, from the 1 of the first full bar
  times: [note: string, begin: number, end: number][];
}

export interface BendTarget {
  note: string;
  label: string;
  at: number;
  seconds: number;
}

export interface PlayerData {
  name: string;
  rungs: Rung[];
  places: string[];
  beats: number; // in a bar
  bends: BendTarget[];
}

/** Gives the bytes of the lead and, if there is one, of the band. */
export type SoundSource = () => Promise<{ lead: ArrayBuffer; band: ArrayBuffer | null }>;
