// What page and server tell each other. Metres east and north; degrees from true north.

export type Point = [number, number];
export type Polygon = Point[][];
export type Level = "moving" | "rest";

export interface Wind { mph: number; from_deg: number }
export interface Tee { name: string; at: Point; length_yd: number }
export interface Hole {
  hole: number; par: number; stroke_index: number | null; pin: Point; line: Point[]; tees: Tee[];
}
export interface StrikeName { label: string; club: string; strike: string }

export interface Options {
  temperature_f?: number;
  altitude_ft?: number;
  ground?: string | null;
  out_of_bounds?: string;
  goal?: string;
}

export interface Opened {
  course: {
    name: string; file: string; bare: string; boundary: Polygon[] | null; firmness: string;
    areas: { ground: string; polygons: Polygon[] }[]; holes: Hole[]; guesses: string[];
  };
  player: {
    name: string; file: string; hand: string; usual: string | null; can_choose: boolean; about: string;
    assumed: string[]; strikes: StrikeName[];
  };
  options: Required<Options>;
  cautions: string[];
}

export interface StrikeAnswer extends StrikeName {
  heading_deg: number; aim_deg: number; aim_text: string;
  strokes: number; half: number; over_choice: number; carry_yd: number; total_yd: number;
  shares: Record<string, number>;
  scores: { name: string; share: number }[];
  outlines: { share: number; polygons: Polygon[] }[];
  middle: Point; along_yd: number[]; across_yd: number[];
  best_heading_deg?: number; over_best?: number;
}

export interface TeeAnswer {
  level: Level; hole: number; tee: string; draws: number;
  wind: (Wind & { text: string }) | null;
  choice: string; rival: string | null; saves: number | null; chance: number; sure: string; close: boolean;
  line: string; goal: string; unit: string;
  strikes: StrikeAnswer[];
  doubt: string | null; why: string; notes: string[]; flips_text?: string | null;
}

export interface RingPoint { from_deg: number; better: string | null; saves: number }

export interface Row {
  hole: number; par: number; tee: string; length_yd: number; choice: string; close: boolean; chance: number;
  sure: string; saves: number | null; strokes: number; rival: string | null;
}
export interface Total { policy: string; strokes: number; over: number; half: number | null }
export interface Round { level: Level; rows: Row[]; totals: Total[]; day: string | null; missing?: number[] }

export interface CourseFile { name: string; title: string; layouts: string[]; builtin: boolean }
export interface PlayerFile { name: string; title: string; builtin: boolean }
export interface Folder {
  folder: string; demo: boolean; courses: CourseFile[]; players: PlayerFile[];
  plans: { name: string; files: string[] }[]; broken: { name: string; error: string; drawable?: boolean }[];
  pictures?: { name: string }[];
  /** What this page may do: all, or read and enter rounds; and whether devices of the network may come. */
  may?: "all" | "rounds"; shared?: boolean;
}

/** An aim held along a heading, and the best one when it was taken hold of: that of more drives, maybe. */
export interface Held { label: string; heading_deg: number; best_deg: number }

export interface State {
  view: "plan" | "draw" | "golfers" | "coach" | "captain" | "after";
  /** The course file that is drawn in this page; the news of its changes comes with the drawing. */
  drawn: string;
  connection: "opening" | "open" | "lost" | "refused";
  folder: Folder | null;
  said: string;
  /** Whether the server has had to compile: the first answers then take half a minute. */
  compiling: boolean;
  course: string;
  layout: string | null;
  player: string;
  options: Options;
  openId: number;
  /** What is open, and which opening it came from; older than `openId` while a change is read. */
  opened: Opened | null;
  openedId: number;
  hole: number;
  tee: string;
  wind: Wind;
  shown: { short: string[] | null; long: string[] | null };
  /** The aim that is held away from the best; one at a time. */
  held: Held | null;
  handDown: boolean;
  changedAt: number;
  /** Holes whose expected strokes are known, and holes that an answer must wait for. */
  ready: number[];
  waiting: number[];
  failed: string[];
  /** SHA-256 of the files that this page saved. */
  ownSaves: string[];
  answer: { key: string; level: Level; value: TeeAnswer } | null;
  ring: { key: string; points: RingPoint[] };
  rows: { key: string; moving: Record<number, Row>; rest: Record<number, Row>; round: Record<Level, Round | null> };
}

export type Question = { ask: string } & Record<string, unknown>;
/** A question to send, with what its answer belongs to, or how long to wait before looking again [ms]. */
export type Next = { question: Question; key: string } | { wait: number } | null;

// Drawing a course.

export type Kind = "fairway" | "green" | "tee" | "bunker" | "red" | "yellow" | "trees" | "heavy_rough" | "rough" | "out"
  | "boundary" | "line" | "pin" | "spot" | "other";
export type Geometry =
  | { type: "Point"; coordinates: Point }
  | { type: "LineString"; coordinates: Point[] }
  | { type: "MultiLineString"; coordinates: Point[][] }
  | { type: "Polygon"; coordinates: Polygon }
  | { type: "MultiPolygon"; coordinates: Polygon[] };
export type Tags = Record<string, string>;
/** A hazard that keeps the numbers it was noted by [yd]. */
export interface Noted {
  hole: number; kind: "red" | "yellow" | string; side: string; from_yd: number; to_yd: number;
  off_yd: number | null; wide_yd: number | null; word?: string;
}
export interface Feature {
  id: number; label: string; kind: Kind; hole: number | null; tags: Tags; geometry: Geometry | null;
  guessed: string | null; noted: Noted | null;
}
export type Change =
  | { id: number; geometry: Geometry }
  | { id: number; tags: Record<string, string | null> }
  | { id: number; remove: true }
  | { id: number; certain: true }
  | { add: { kind: Kind; geometry: Geometry; tags: Tags } };
export interface Picture { name: string; marks: { pixel: Point; at: Point }[] }
export interface Say { ids: number[]; hole: number | null; kind: "fault" | "guess" | "gap"; text: string; at: Point | null }
export interface HoleNumbers { id: number; kind: string; from_yd: number; to_yd: number; side: string }
export interface CheckedHole {
  hole: number; par: number; line: number | null;
  tees: { name: string; at: Point; length_yd: number; guessed: boolean }[];
  pin: Point | null; pin_guessed: boolean; numbers: HoleNumbers[];
}
export interface Version { version: string; bytes: number }

/** What the server tells of a whole drawing. */
export interface WholeDrawing {
  name: string; title: string; revision: number; can_undo: boolean; can_redo: boolean;
  undo_says: string | null; redo_says: string | null; nowhere: boolean; features: Feature[]; pictures: Picture[];
  versions: Version[]; saved: boolean; clash: string | null;
  /** Whether it came with holesim, and cannot be changed. */
  builtin?: boolean;
}
/** What the server tells of a step. */
export interface Changed {
  revision: number; features: Feature[]; removed: number[]; can_undo: boolean; can_redo: boolean;
  undo_says: string | null; redo_says: string | null;
  /** Where a step moved the pictures, too. */
  pictures?: Picture[];
}

export interface DrawingState {
  /** Empty while none is open. */
  name: string; title: string; revision: number; nowhere: boolean;
  /** By id; what is drawn and not yet answered has negative ids. */
  features: Map<number, Feature>;
  pictures: Picture[]; versions: Version[];
  says: Say[]; holes: CheckedHole[]; usable: boolean; checked: number;
  saved: boolean; clash: string | null; builtin: boolean;
  /** Steps sent, or to be sent, and not yet answered. */
  waiting: number;
  canUndo: boolean; canRedo: boolean; undoSays: string | null; redoSays: string | null;
  selected: number | null;
  /** The hole in view; null for the whole course. */
  hole: number | null;
  tool: string; message: string;
}

// After the round.

/** What became of a drive; null where it was not recorded [yd, m]. */
export interface Drive {
  label: string; lie: string; total_yd: number | null; side_yd: number | null; at: Point | null; score: number | null;
}
export interface PlannedTee { choice: string; strikes: (StrikeName & { heading_deg: number })[] }
export interface PlanHole extends Hole {
  bare: string; areas: { ground: string; polygons: Polygon[] }[]; planned: Record<string, PlannedTee>;
}
/** A plan as a round is entered by it. */
export interface PlanRound {
  course: string; player: string; text: string; tees: string[]; golfers: string[]; known: boolean; lies: string[]; holes: PlanHole[];
}
export interface RoundState {
  /** The plan's file; empty while none is open. */
  plan: string; opened: PlanRound | null;
  /** The round's file and its SHA-256; empty and null while nothing is written. */
  round: string; sha256: string | null;
  date: string; tee: string; rows: Record<number, Drive>; hole: number;
  saving: boolean; saved: boolean; clash: boolean; said: string;
  rounds: { name: string; plan: string | null }[];
}
/** What a review tells. */
export interface Reviewed {
  text: string; json: string; title: string; sentences: string[]; unplanned: string[]; note: string; caution: string; pictures: string[];
  counts: { name: string; planned: string; span: string; played: number; verdict: string }[];
  player: string | null; seen: string | null; learnt: string | null; not_learnt: string | null; learnt_before: string | null;
}

// The coach's desk.

export interface Golfer {
  name: string; builtin: boolean; title: string; sex: string; handicap: string; handicap_index: number; speed_mph: number;
  strikes: string[]; drives: number; last: string | null;
  /** Why the file cannot be used; then it has only a name. */
  error?: string;
}
/** What practice would pay a golfer. */
export interface Worth { best: { name: string; saved: number; low: number; high: number }; text: string; json: string }
export interface CoachState {
  golfers: Golfer[]; course: string; layout: string | null; mph: number; from: number;
  /** The golfers' files that are chosen; none stands for all. */
  ticked: string[];
  worth: Record<string, Worth>;
  /** The course and wind that `worth` is of. */
  worthOf: string;
  sheets: string[]; by: string;
  /** What was made last. */
  files: string[];
  pupil: string; said: string;
}

// The captain's table. Players by their places in the squad.

export interface LineUp { sides: number[][]; bench: number[] }
/** What a draw would bring, or why it cannot be played. */
export interface DrawPrice {
  refused?: string; text?: string; short: string; total: string; same?: boolean; gain?: number; sides?: string[];
}
export interface CaptainPlan {
  team: { team: string; format: string; occasion?: string; total: { points?: number; strokes?: number; spread: number } } & Record<string, unknown>;
  table: string; squad: string[]; found: number[][]; ordered: boolean; pairs: boolean; opponents: string[][]; counting: number | null;
  says: { head: string; total: string; best: string; findings: string[]; assumed: string };
}
export interface Squad { name: string; title: string; builtin: boolean }
export interface Person { name: string; handicap_index: number; sex: string }
export interface TeamShown {
  name: string; title: string; builtin: boolean; sha256: string; comments: boolean; players: Person[]; opponents: Person[];
  order_known: boolean; places: number | null; tees: Record<string, string>; content: Record<string, any>;
}
/** A player as typed: a file of the folder, or what is known. */
export interface PersonForm { file: string; name: string; handicap: string; speed: string; sex: string }
export interface TeamForm {
  name: string; seen: string | null; title: string; people: { players: PersonForm[]; opponents: PersonForm[] };
  order_known: boolean; places: string; men: string; women: string; allowance: string;
  /** What the file says beyond that. */
  rest: Record<string, any>;
}
export interface WeekendSession {
  name: string; format: string; size: number; sides: number; unit: "points" | "strokes"; opponents: string[];
  results: { players: string[]; points?: number; strokes?: number }[];
}
export interface WeekendShown {
  name: string; title: string; builtin: boolean; sha256: string; squad: string[]; needed: number | null; won: number;
  sessions: WeekendSession[];
}
export interface CaptainState {
  squads: { teams: Squad[]; weekends: Squad[]; broken: { name: string; error: string }[] } | null;
  /** A course file and its layout, as JSON. */
  course: string;
  team: string; shown: TeamShown | null; weekend: WeekendShown | null;
  asked: {
    format: string; net: boolean; count: string; wind: string; ground: string; out_of_bounds: string; temperature_f: string;
    altitude_ft: string; draws: string;
  };
  plan: CaptainPlan | null;
  /** The order of the sheets of the plan, but for their name and the draw, as JSON. */
  order: string;
  lineUp: LineUp;
  /** The place that is held, and the one that it is over. */
  held: string; over: string;
  price: DrawPrice | null;
  /** Of each place that the held one may change with. */
  prices: Record<string, DrawPrice>;
  progress: import("./jobs.js").Progress | null;
  work: string;
  /** The status in words, and what of it stands on the table anyway. */
  said: string; heard: string;
  mistake: string; saved: string[]; weekendText: string;
  /** Of each session of the weekend that was planned, the table that its draw can be put on; none where it is played. */
  sessions: (CaptainPlan | null)[];
}
