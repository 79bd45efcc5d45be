// What is kept on the device: see page/shared/record.mjs and core/shortlever/roster/lifters-2.schema.json.

declare namespace Kept {
  /** The unit switch: centimetres go with kilograms, inches with pounds. */
  type UnitSwitch = "cm" | "in";
  type Texts = { [key: string]: string };

  interface Tape {
    /** year-month-day */
    date: string;
    unit: UnitSwitch;
    /** as typed */
    fields: Texts;
    choices: Texts;
  }

  /** With the parts of the lift's setup. */
  interface Setup {
    key: string;
    name?: string;
    date?: string;
    text?: string;
    [part: string]: string | number | undefined;
  }

  /** A setup picked from the trade-off. */
  interface Choice {
    [part: string]: number;
  }

  interface Conflict {
    path: string;
    other: unknown;
    tab?: string;
  }

  interface Trials {
    /** JSON text of a `Log`, or nothing */
    log: string;
    pending: Change[];
    revision: number;
  }

  /** What is kept of one lift. */
  interface OfLift {
    setups: Setup[];
    trials: Trials;
    preference: number | null;
    preference_from: string;
    choice: Choice | null;
    cautions_read: boolean;
  }

  interface Lifter {
    id: string;
    version: number;
    name: string;
    archived: boolean;
    notes: string;
    created: string;
    changed: string;
    /** the one last looked at */
    lift: string;
    tapes: Tape[];
    lifts: { [lift: string]: OfLift };
    conflicts: Conflict[];
    /** in a file only: the `changed` of earlier versions that this one holds */
    heard?: string[];
  }

  /** Which part of a record is not as it must be: its place, the schema's keyword that it breaks ("order" for one beyond them). */
  interface Fault {
    place: string;
    keyword: string;
    limit?: number | string;
  }

  /** By path, see record.mjs. */
  type ByPath = { [path: string]: unknown };

  interface Meta {
    id: string;
    /** what another device surely holds too, or what was saved first */
    base: Lifter | null;
    /** what was saved last, if that is another */
    saved?: Lifter;
    /** since when the record is not as it was last exported; "" when it is */
    dirty: string;
  }

  interface Deleted {
    id: string;
    record: Lifter;
    deleted: string;
  }

  interface Damaged {
    id: string;
    raw: unknown;
    fault: string | null;
    found: string;
  }

  /** What a person typed, and where the unit switch stood. */
  interface Typed {
    text: string;
    unit: UnitSwitch;
  }

  // ---- trials: the log of core/shortlever/trials/storage.py and the changes of view/sets.py

  type MassUnit = "kg" | "lb";
  type Unit = UnitSwitch | MassUnit | "°";

  /** A setup to be tried, as the fit screen hands it over. */
  interface OnTrial {
    label: string;
    index: number;
    stroke_m?: number | null;
    mean_arm_m?: number | null;
    present?: boolean;
    /** where it stands on its lift's dial, 0 to 1 */
    dial?: number | null;
    /** how it is found at the bar */
    marks?: string[];
  }

  interface Candidate extends OnTrial {
    key: string;
    present: boolean;
    pain: boolean;
    cleared: boolean;
  }

  interface SetRecord {
    number: number;
    date: string;
    candidate: string;
    load_kg: number;
    reps: number;
    reps_in_reserve: number;
    touched: boolean;
    pain: boolean;
    measured?: Measured | null;
  }

  /** What the film check measured of a set. */
  interface Measured {
    touch_m?: number;
    mean_arm_m?: number;
    range_of_motion_m?: number;
    off_plan_m?: number;
    off_plan_margin_m?: number;
    depth_m?: number;
    hips_first?: number;
    speeds_m_s?: number[];
    speed_margin_m_s?: number;
    lost?: number;
    lost_margin?: number;
  }

  type Measurable = "touch_m" | "mean_arm_m" | "range_of_motion_m" | "depth_m" | "hips_first";

  /** How one change is taken back. */
  interface Step {
    what: string;
    set_place: number | null;
    set_before: SetRecord | null;
    set_after: SetRecord | null;
    candidate_place: number | null;
    candidate_before: Candidate | null;
    candidate_after: Candidate | null;
  }

  interface Log {
    candidates: Candidate[];
    sets: SetRecord[];
    steps: Step[];
    /** trials before, each as JSON text */
    earlier: string[];
    next_number: number;
    formula: string | null;
    margin_percent: number;
    sets_each: number;
  }

  /** By what a trial ends: a smaller difference does not matter; the sets of each setup at most. */
  interface Terms {
    margin_percent: number;
    sets_each: number;
  }

  /** The entry of a set: load, reps and reserve as typed. */
  interface Entry {
    candidate: string;
    load: string;
    unit: MassUnit;
    reps: string;
    reserve: string;
    touched: boolean;
    pain: boolean;
  }

  type What =
    | { what: "add_candidate"; candidate: OnTrial }
    | { what: "remove_candidate"; candidate: string }
    | { what: "clear_pain"; candidate: string }
    | { what: "add_set"; set: Entry }
    | { what: "edit_set"; number: number; set: Entry }
    | { what: "delete_set"; number: number }
    | { what: "attach_film"; number: number; measured: Measured }
    | { what: "formula"; formula: string }
    | ({ what: "terms" } & Terms)
    | { what: "new_trial"; keep: string | null }
    | { what: "undo" };
  /** `at`: the moment with its time zone. */
  type Change = What & { at: string };
}
