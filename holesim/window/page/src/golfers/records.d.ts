// What page and server tell each other of golfers and measured drives.

export type Content = Record<string, any>;
export interface GolferRow {
  name: string; title: string; builtin: boolean; error?: string;
  handicap?: string; mph?: number; hand?: string; sex?: string; measured?: number;
}
export interface Fault { place: string; says: string }
/** What a form shows: by place what holds there, and its standard error. */
export interface Looked {
  faults: Fault[]; usual?: Record<string, [number, number]>; assumed?: string[]; about?: string;
  miss_words?: string;
  miss?: "both" | "left" | "right" | "other";
}
export interface OpenGolfer extends Looked {
  /** The file; empty for one who has none yet. */
  name: string;
  builtin: boolean; sha256: string | null; content: Content; versions: { version: string; bytes: number }[];
}
export interface GolfersState {
  golfers: GolferRow[] | null; tables: string[];
  open: OpenGolfer | null;
  /** Whether the server has said what is wrong with what the form holds now. */
  checked: boolean;
  changed: boolean; busy: boolean; said: string; wrong: boolean;
}

export type StrikeWord = "up" | "level" | "down";
export interface Meaning { name: string; words: string; units: string[]; ends: string[] }
export interface Column {
  header: string; samples: string[]; name: string; unit: string; positive: string; fault: string | null;
}
export interface LookedTable {
  name: string; columns: Column[]; guesses: string[]; fault: string;
  sessions: { name: string; day: string | null; drives: number }[];
  shown: string[]; rows: { line: number; strike: StrikeWord | null; cells: string[] }[]; more: number;
}
export type Mapping = Record<string, { header: string; unit: string; positive: string }>;
/** What is corrected of one table, by line. */
export interface Marks { strikes: Record<number, StrikeWord>; out: number[] }
export interface Who { like: string; golfer: string; sex: string; hand: string; handicap: string }
export interface Fit {
  name: string; toml: string; sentences: string[]; warnings: string[]; guesses: string[]; strikes: string[];
  usual: string | null; text: string; picture: string;
}
export interface ChangeRow {
  words: string; first: string; last: string; change: string; between: string; sure: string; values: number[];
}
export interface Changes {
  sentences: string[]; rows: ChangeRow[]; sessions: { name: string; drives: number }[]; guesses: string[]; text: string;
}
export interface DrivesState {
  chosen: string[]; looked: LookedTable | null; meanings: Meaning[];
  columns: Mapping | null; marks: Record<string, Marks>; kept: Record<string, string>;
  balls: "course" | "range"; days: Record<string, string>; dayFirst: boolean | null;
  who: Who; usual: string;
  work: import("../jobs.js").Progress | null; working: "" | "measure" | "changes";
  fit: Fit | null; changes: Changes | null;
  said: string; wrong: boolean; clash: File | null;
  /** What was ordered where an earlier correction of the table is in the way. */
  stale: "measure" | "changes" | null;
}
