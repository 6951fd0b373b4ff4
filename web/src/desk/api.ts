/** What can be asked of the desk's server, and how does it say no? */

import type { PlayerData } from "../player/data.js";

export interface LessonLine {
  name: string;
  title?: string;
  key?: string;
  phrases?: number;
  problems?: number;
  grade?: [] | [number, number];
  changed?: number; // seconds since 1970
  built?: number | null;
  trouble?: string;
}

export interface Lesson {
  name: string;
  text: string;
  version: string;
  changed: number;
}

export interface Kept {
  id: string;
  name: string;
  when: number; // seconds since 1970
  bytes: number;
}

export interface Problem {
  line: number; // from 1
  column: number; // from 1
  code: string;
  what: string;
  mend: string;
  fixes: { line: number; text: string }[];
}

export interface Part {
  id: string;
  kind: string;
  key: string; // empty: it cannot be shown
  html?: string;
}

export interface Read {
  title: string;
  author: string;
  key: string;
  problems: Problem[];
  parts: Part[];
  phrases: { name: string; title: string; whole: boolean }[];
}

export interface Block {
  name: string;
  block: string;
  html: string;
}

export interface Hand {
  note: string;
  bar: number;
  count: string;
  string: string;
  fret: number;
  finger: string;
  suggested: boolean;
  why: string;
  stroke: string;
}

export interface Trouble {
  where: string;
  what: string;
  mend: string;
  or: string[];
  measures: { name: string; value: number; unit: string; limit: number | null }[];
}

export interface Close extends Block {
  title: string;
  hands: { cost: number; notes: Hand[]; picking: string; damping: string };
  others: Record<string, { finger: string; extra: number }[]>;
  troubles: Trouble[];
  reasons: { text: string; simple: string; notes: string[] }[];
}

export interface Place {
  frets: [number, number];
  cost: number;
  lost: string[];
  block: string;
  html: string;
}

export interface OtherString extends Block {
  string: string;
  fret: number;
  extra: number;
}

export interface Moved extends Block {
  changed: string[];
  lost: string[];
}

export interface Heard {
  recording: string;
  phrase: string;
  sentences: string[];
  asides: string[];
  rows: { note_id: string; place: string; where: string; verdict: string; time: string; pitch: string; fine: boolean }[];
  added: string[];
  summary: { tempo: number; notes: number; right: number };
  wide: string; // SVG
  narrow: string;
}

export interface PupilLine {
  name: string;
  takes: number;
  last: string; // ISO 8601
}

export interface Pupil {
  kind: string;
  pupil: string;
  takes: unknown[];
  plot: string; // SVG
}

export interface Build {
  id: string;
  lesson: string;
  state: "waiting" | "building" | "done" | "stopped" | "failed";
  label: string;
  done: number;
  steps: number;
  packs: string[];
  notes: string[];
}

export interface Words {
  blocks: string[];
  settings: string[];
  of: Record<string, string[]>;
  keys: string[];
  scales: string[];
  chords: string[];
  forms: string[];
  feels: string[];
  meters: string[];
  shows: string[];
  players: string[];
  tunings: string[];
}

/** The server said no, or did not answer. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    what: string,
    readonly mend: string,
    readonly body: unknown = null,
  ) {
    super(what);
  }

  get words(): string {
    return this.mend ? `${this.message}: ${this.mend}` : this.message;
  }
}

/** What went wrong, for the teacher. */
export function said(error: unknown): string {
  if (error instanceof Refused) return error.words;
  return error instanceof Error ? error.message : String(error);
}

async function ask<T>(method: string, path: string, body?: unknown, headers: Record<string, string> = {}): Promise<T> {
  const plain = body instanceof Blob;
  let answer: Response;
  const sent: RequestInit = { method, headers: { ...headers } };
  if (body !== undefined) {
    sent.body = plain ? body : JSON.stringify(body);
    sent.headers = { ...headers, "content-type": plain ? "audio/x-take" : "application/json" };
  }
  try {
    answer = await fetch(path, sent);
  } catch {
    throw new Refused(0, "the desk does not answer", "start it again; what you typed is kept in this browser");
  }
  if (answer.status === 304) return null as T;
  let found: unknown = null;
  try {
    found = await answer.json();
  } catch {
    throw new Refused(answer.status, "the desk gave no sense", "try again");
  }
  if (!answer.ok) {
    const { what, mend } = found as { what?: string; mend?: string };
    throw new Refused(answer.status, what ?? `it was refused (${answer.status})`, mend ?? "", found);
  }
  return found as T;
}

const at = (name: string): string => `/api/lessons/${encodeURIComponent(name)}`;

export const api = {
  words: () => ask<Words>("GET", "/api/words"),
  lessons: async () => (await ask<{ lessons: LessonLine[] }>("GET", "/api/lessons")).lessons,
  create: (name: string) => ask<Lesson>("POST", "/api/lessons", { name }),
  copy: (like: string) => ask<Lesson>("POST", "/api/lessons", { name: like, like, fresh: true }),
  beside: (name: string, text: string) => ask<Lesson>("POST", "/api/lessons", { name, text, fresh: true }),
  lesson: (name: string) => ask<Lesson>("GET", at(name)),
  newer: (name: string, version: string) =>
    ask<Lesson | null>("GET", at(name), undefined, { "if-none-match": `"${version}"` }),
  save: (name: string, text: string, version: string) =>
    ask<{ version: string; changed: number }>("PUT", at(name), { text, version }),
  remove: (name: string) => ask<Kept>("DELETE", at(name)),
  rename: (name: string, to: string) => ask<Lesson>("POST", "/api/rename", { name, to }),
  bin: async () => (await ask<{ bin: Kept[] }>("GET", "/api/bin")).bin,
  restore: (id: string) => ask<Lesson>("POST", "/api/bin/restore", { id }),
  emptyBin: () => ask<{ deleted: number }>("DELETE", "/api/bin"),
  earlier: async (name: string) =>
    (await ask<{ earlier: Kept[] }>("GET", `/api/earlier?name=${encodeURIComponent(name)}`)).earlier,
  earlierText: async (name: string, id: string) =>
    (await ask<{ text: string }>("GET", `/api/earlier?name=${encodeURIComponent(name)}&id=${encodeURIComponent(id)}`))
      .text,
  read: (text: string, have: string[]) => ask<Read>("POST", "/api/read", { text, have }),
  mend: (text: string) =>
    ask<{ text: string; done: { line: number; what: string }[]; left: number }>("POST", "/api/mend", { text }),
  tidy: (text: string) => ask<{ text: string }>("POST", "/api/tidy", { text }),
  close: (text: string, name: string) => ask<Close>("POST", "/api/phrase", { text, name }),
  places: async (text: string, name: string) =>
    (await ask<{ places: Place[] }>("POST", "/api/places", { text, name })).places,
  move: (text: string, name: string, to: Record<string, unknown>) =>
    ask<Moved>("POST", "/api/move", { text, name, ...to }),
  finger: (text: string, name: string, note: string, finger: string) =>
    ask<Block>("POST", "/api/finger", { text, name, note, finger }),
  strings: async (text: string, name: string, note: string) =>
    (await ask<{ strings: OtherString[] }>("POST", "/api/strings", { text, name, note })).strings,
  wayOut: (text: string, name: string, trouble: number, way: number) =>
    ask<Block>("POST", "/api/way-out", { text, name, trouble, way }),
  sound: (text: string, name: string) =>
    ask<{ data: PlayerData; sounds: { lead: string; band?: string } }>("POST", "/api/sound", { text, name }),
  take: (lesson: string, phrase: string, pupil: string, recording: string, audio: Blob) =>
    ask<Heard>("POST", `/api/takes?${new URLSearchParams({ lesson, phrase, pupil, recording }).toString()}`, audio),
  pupils: async () => (await ask<{ pupils: PupilLine[] }>("GET", "/api/pupils")).pupils,
  pupil: (name: string) => ask<Pupil>("GET", `/api/pupil?name=${encodeURIComponent(name)}`),
  forget: (name: string) => ask<{ deleted: number }>("DELETE", `/api/pupil?name=${encodeURIComponent(name)}`),
  build: (name: string, keys: string[], audio: string[]) =>
    ask<Build>("POST", "/api/builds", { name, keys, audio }),
  built: (id: string) => ask<Build>("GET", `/api/builds/${encodeURIComponent(id)}`),
  stop: (id: string) => ask<Build>("DELETE", `/api/builds/${encodeURIComponent(id)}`),
};
