// What the pages ask of the core and what it answers (core/shortlever/view/), as JSON.

declare namespace Core {
  interface Problem {
    field: string | null;
    code: string;
    given: string;
    message: string;
    remedy: string;
  }

  interface Warning {
    code: string;
    field: string | null;
    message: string;
  }

  interface Refused {
    ok: false;
    errors: [Problem, ...Problem[]];
    warnings: Warning[];
    reading?: Kept.Texts;
    report?: Wire.Report;
    numbers?: Typed["numbers"];
    begin?: Typed["begin"];
  }

  /** Where a stepper begins in an empty field (cm, kg or °), and where that is from. */
  interface Begin {
    value: number;
    from: "estimate" | "middle" | "suggestion" | "common";
  }

  interface Typed {
    /** the numbers that were read, in cm, kg or °, by key */
    numbers: { [key: string]: number };
    begin: { [key: string]: Begin };
  }

  interface Done {
    ok: true;
    errors: Problem[];
    warnings: Warning[];
  }

  /** What one question of a screen asks for and gets. */
  interface Question<Request, Answer> {
    request: Request;
    answer: Answer | Refused;
  }

  // ---- the fit screen

  interface FitRequest {
    unit: Kept.UnitSwitch;
    fields: Kept.Texts;
    lift?: string;
    preference?: number;
    choice?: Kept.Choice;
    want?: string;
    /** rules, bar, comfort, sex: where they differ from the usual ones */
    [choice: string]: unknown;
  }

  interface NamedNumber {
    key: string;
    label: string;
    value: string;
    unit: string;
    note?: string;
  }

  /** Points of a line as SVG takes them, the middle of a dot, or the two ends of a line. */
  type Place = string | number[];

  interface FigureView {
    key: string;
    label: string;
    svg: string;
    rows: { [part: string]: Place }[];
    /** units a metre, and where the floor is */
    scale: { per_m: number; floor: number | null };
  }

  interface Figure {
    svg: string;
    title: string;
    text: string;
  }

  interface FitFigure extends Figure {
    table: [string, string][];
    views: [FigureView, ...FigureView[]];
    rows: string[];
    row_arms: string[];
    beats: string;
  }

  interface Tradeoff {
    svg: string;
    at: number;
    suggested: number;
    choices: { text: string; [part: string]: number | string }[];
  }

  interface WayStep {
    after_days: number;
    parts: Kept.Choice;
    label: string;
  }

  interface Way {
    text: string;
    steps: WayStep[];
  }

  interface Beside {
    here: string;
    there: string;
    text: string;
    rows: [string, string, string][];
  }

  interface Card {
    svg: string;
    lines: { key: string; label: string; value: string; text: string }[];
  }

  interface Fitted extends Done, Typed {
    way: Way | null;
    card: Card | null;
    bands?: { key: string; text: string }[] | null;
    beside?: Beside | null;
    rests: string[];
    reading: Kept.Texts;
    headline: NamedNumber[];
    measures: NamedNumber[];
    gain: { code: string; decision: string; text: string; parts: string[] } | null;
    reasons: { code: string; message: string }[];
    marks: { key: string; label: string; text: string }[];
    figure: FitFigure;
    tradeoff: Tradeoff;
    trial: Kept.OnTrial[];
    setup: Kept.Choice;
    chosen: boolean;
    example: boolean;
  }

  interface Doubt extends Done {
    reading: Kept.Texts;
    intervals: Kept.Texts;
    /** what the intervals cover, in words */
    covers: string;
    /** how far the model itself was off, in words */
    off: string;
    next: { key: string; message: string; narrows: number } | null;
  }

  /** A part of the figure that moves an axis of the grid; `point` -1: the part is one place. */
  interface Handle {
    view: string;
    part: string;
    axis: number;
    point: number;
  }

  interface FeltNumber {
    key: string;
    label: string;
    kind: "settable" | "length" | "angle" | "kg" | "percent";
  }

  /** What one finger moves: a part of the setup, from where `low` stops it to where `high` does, one sentence for all places of the axes before or one for each. */
  interface Axis {
    key: string;
    part: keyof Kept.Choice;
    steps: number;
    low: string[];
    high: string[];
  }

  /** Setups to go between with a finger: the last axis runs fastest in `points`. */
  interface Feel {
    axes: Axis[];
    handles: Handle[];
    numbers: FeltNumber[];
    points: { parts: Kept.Choice; numbers: Record<string, number>; places: Record<string, Record<string, Place>> }[];
  }

  interface Felt extends Done {
    reading: Kept.Texts;
    feel: Feel | null;
  }

  interface Link extends Done {
    reading: Kept.Texts;
    fragment: string;
  }

  interface Opened extends Done {
    request: FitRequest;
  }

  type FitQuestions = {
    setup: Question<FitRequest, Fitted>;
    open: Question<{ want: "open"; fragment: string }, Opened>;
    link: Question<FitRequest, Link>;
    mine: Question<FitRequest, Fitted>;
    doubt: Question<FitRequest, Doubt>;
    feel: Question<FitRequest, Felt>;
  }

  // ---- all lifts on one page

  interface SheetOfLift {
    key: string;
    name: string;
    /** what is still needed; "" where there is a setup */
    missing: string;
    /** the stroke beside the usual one */
    middle: string;
    setup: Pick<Fitted, "headline" | "gain" | "rests"> & { card: Card } | null;
  }

  interface SheetOfLifts extends Done {
    people: string;
    build: { key: string; label: string; value: string; text: string }[];
    means: string[];
    note: string;
    lifts: SheetOfLift[];
  }

  type ThreeQuestions = {
    build: Question<FitRequest & { of: { [lift: string]: { choice?: Kept.Choice; preference?: number } } }, SheetOfLifts>;
  }

  // ---- sets

  interface SetsRequest {
    want: "sets/fold" | "sets/verdict";
    lift: string;
    log: string;
    pending: Kept.Change[];
    unit: Kept.MassUnit;
    date: string;
    /** the page's own: whose they are, and which log it was */
    of?: string;
    revision?: number;
    example?: boolean;
  }

  interface SetRow {
    number: number;
    date: string;
    candidate: string;
    load: string;
    reps: number;
    reserve: string;
    touched: boolean;
    film: string;
    pain: boolean;
    e1rm: string;
    between: string;
  }

  /** A change that was not taken. */
  interface RefusedChange {
    place: number;
    said: string;
    change: Kept.Change;
    error: Problem;
  }

  interface Coming {
    order: string[];
    left: string[];
    done: number;
    next: string;
  }

  interface Folded extends Done {
    log: string;
    folded: number;
    refused: RefusedChange[];
    rows: SetRow[];
    candidates: { key: string; label: string; present: boolean; off_list: boolean; cleared: boolean; sets: number }[];
    coming: Coming | null;
    undo: string | null;
    terms: Kept.Terms;
    margins: number[];
  }

  interface Standing {
    key: string;
    label: string;
    sets: number;
    off_list: boolean;
    chance: string;
    chance_value: number | null;
    base: boolean;
    state: "better" | "worse" | "too close" | "open";
    word: string;
    gain: string;
    gain_between: string;
    gain_mass: string;
    gain_mass_between: string;
  }

  interface Verdict extends Folded {
    verdict: string;
    finished: boolean;
    headline: string;
    why: string;
    lean: string;
    finish: string;
    best: string | null;
    alike: string[];
    against: string | null;
    one_rep_max: string;
    standings: Standing[];
    needed: string;
    most_left: number;
    /** the terms of a trial that goes on, and how many sets more that is */
    go_on: { terms: Kept.Terms; sets: number } | null;
    telling: { key: string; reason: string } | null;
    odd: { number: number; text: string } | null;
    preference: number | null;
    preference_text: string;
    /** what favours one setup and can be mended */
    unfair: string;
    cautions: string[];
    figure: Figure | null;
    csv: string;
  }

  type SetsQuestions = {
    fold: Question<SetsRequest, Folded>;
    verdict: Question<SetsRequest, Verdict>;
  }

  // ---- the file of lifters

  type FileState = "new" | "other" | "changed" | "conflict" | "same" | "mine";

  interface InFile {
    id: string;
    name: string;
    namesake: boolean;
    state: FileState;
    differences: { path: string; label: string; mine: string; theirs: string; take: string }[];
  }

  interface FileAsked {
    text: string;
    here: { [id: string]: Kept.Lifter };
    base: { [id: string]: Kept.Lifter };
  }

  interface Preview extends Done {
    exported: string;
    lifters: InFile[];
    /** `place`: in the list of the file's lifters; the others are `lifters`, in their order */
    damaged: { place: number; name: string; fault: string; message: string }[];
  }

  interface Merged extends Done {
    records: Kept.Lifter[];
    common: { [id: string]: Kept.Lifter };
  }

  type FileQuestions = {
    "lifters/preview": Question<FileAsked & { names: string[]; alike: string[] }, Preview>;
    "lifters/merge": Question<FileAsked & { choices: Kept.Texts; keep: { [id: string]: string[] }; spare: Kept.Texts; now: string }, Merged>;
  }

  // ---- the team sheet

  interface SheetAsked {
    text?: string;
    base64?: string;
    unit: Kept.UnitSwitch | null;
    assign: Kept.Texts;
    lift?: string;
  }

  interface SheetColumn {
    header: string;
    key: string;
    label: string;
    unit: string;
    unit_in_header: boolean;
    state: string;
    message: string;
  }

  interface SheetRow {
    row: number;
    name: string;
    request: FitRequest;
    errors: Problem[];
    understood: Kept.Texts;
  }

  interface SheetProblem extends Problem {
    row: number;
    name: string;
    column: string;
  }

  interface Sheet {
    ok: boolean;
    errors: Problem[];
    /** of a file that came as bytes */
    text?: string;
    unit: Kept.UnitSwitch;
    how: string;
    notes: string[];
    columns: SheetColumn[];
    /** the results that the table shows */
    shown: { key: string; label: string }[];
    keys: { key: string; label: string }[];
    rows: SheetRow[];
    problems: SheetProblem[];
  }

  interface RowResult {
    row: number;
    name: string;
    ok: boolean;
    cells: Kept.Texts;
    errors: Problem[];
    fragment: string;
    /** the parts of the setup; a tab of an earlier version may have kept none */
    setup?: Kept.Choice;
  }

  type TeamQuestions = {
    "team/read": { request: SheetAsked; answer: Sheet | (Refused & { columns?: undefined; text?: undefined }) };
    "team/fit": Question<{ rows: { row: number; name: string; request: FitRequest }[] }, Done & { results: RowResult[] }>;
    "team/write": Question<SheetAsked & { results: { [row: string]: Kept.Texts } }, Done & { csv: string; headers: Kept.Texts }>;
    "team/example": Question<{ unit: Kept.UnitSwitch; save?: boolean }, Done & { text: string }>;
  }

  // ---- the wall

  interface WallSpot {
    gear: "bar" | "hooks" | "floor";
    at_m: number;
    said: string;
  }

  type OnWall =
    | { id: string; name: string; ok: false; errors: Problem[] }
    | {
        id: string;
        name: string;
        ok: true;
        headline: NamedNumber[];
        marks: { key: string; label: string; text: string }[];
        card: Card | null;
        spots: WallSpot[];
        fragment: string;
      };

  interface WallAsked {
    unit?: Kept.UnitSwitch;
    people: { id: string; name: string; request: FitRequest }[];
  }

  interface Compared extends Done {
    people: { id: string; name: string }[];
    rows: { label: string; cells: ({ value: string; unit: string } | null)[] }[];
    told: string[];
    views: FigureView[];
  }

  type WallQuestions = {
    "wall/fit": Question<WallAsked, Done & { people: OnWall[] }>;
    "wall/draw": Question<
      { unit: Kept.UnitSwitch; lift: string; people: { name: string; spots: WallSpot[] }[] },
      Done & { pictures: { gear: string; title: string; svg: string }[] }
    >;
    "wall/compare": Question<WallAsked, Compared>;
  }

  // ---- the film check

  interface FilmPoint {
    t?: number;
    x: number;
    y: number;
    sd: number;
    r?: number;
  }

  type FilmFrame =
    | { t: number; lost: true; moved?: Film.Moved }
    | (FilmPoint & { t: number; lost?: undefined; quality?: number; a?: number; b?: number; tilt?: number; axes_sd?: number; moved?: Film.Moved });

  interface FilmRequest {
    want: "film/measure" | "film/moments";
    unit: Kept.UnitSwitch;
    picture: Film.Size;
    frames: FilmFrame[];
    marks: { [kind: string]: FilmPoint[] };
    camera: { [choice: string]: string | number };
    fields: Kept.Texts;
    fit?: FitRequest;
  }

  /** When the joints of a lift are to be marked, s. */
  interface FilmMoments extends Done {
    moments: { [moment: string]: number };
  }

  /** A measured number: a length (`…_m`), an angle (`…_deg`), a time (`…_s`) or one length by another (`…_times`). `kept`: what a logged set calls it. */
  interface FilmNumber {
    key: string;
    label: string;
    text: string;
    value_m?: number;
    low_m?: number;
    high_m?: number;
    plan_m?: number | null;
    value_deg?: number;
    low_deg?: number;
    high_deg?: number;
    plan_deg?: number | null;
    value_s?: number;
    low_s?: number;
    high_s?: number;
    value_times?: number;
    low_times?: number;
    high_times?: number;
    plan_times?: number | null;
    difference: string;
    verdict: string;
    kept?: Kept.Measurable;
  }

  /** A figure with its 90 % interval. */
  interface Interval {
    value: number;
    low: number;
    high: number;
  }

  interface FilmExtreme {
    speed_m_s: Interval;
    up_m: Interval;
  }

  interface FilmSpeed {
    mean_m_s: Interval;
    quickest: FilmExtreme;
    slow: { first_peak: FilmExtreme; slowest: FilmExtreme; second_peak: FilmExtreme } | null;
    curve: { up_m: number; speed_m_s: Interval }[];
  }

  interface FilmRep {
    number: number;
    complete: boolean;
    partial: string | null;
    numbers: FilmNumber[];
    pause_s?: number | null;
    pause_low_s?: number | null;
    pause_high_s?: number | null;
    speed?: FilmSpeed | null;
  }

  interface Measured extends Done {
    reading: Kept.Texts;
    kind: "clip" | "photo";
    headline: NamedNumber[];
    sentences: string[];
    reps: FilmRep[];
    table_head: string[];
    table: string[][];
    figure: Figure;
    lost: Interval | null;
    speed_figure: Figure | null;
    path: { rep: number; t: number; y_m: number; z_m: number; phase: string }[];
    track: { t: number; x: number; y: number }[];
    camera: { distance_text: string; angle_text: string; advice: string; budget: { source: string; text: string; mm: number }[] };
  }

  type FilmQuestions = {
    measure: Question<FilmRequest, Measured>;
    moments: Question<FilmRequest, FilmMoments>;
    sets: Question<SetsRequest, Folded>;
  }

  // ---- asking

  /** `onResponse(kind, response, request)` for any of these questions. */
  type OnResponse<Q extends Wire.Questions> = (
    ...answered: { [K in keyof Q & string]: [kind: K, response: Q[K]["answer"], request: Q[K]["request"]] }[keyof Q & string]
  ) => void;
}
