// The film check: outlines, marks, what the tracker says, and the messages between the page and the worker of a clip.

declare namespace Film {
  interface Point {
    x: number;
    y: number;
  }

  interface Size {
    width: number;
    height: number;
  }

  /** An ellipse: its middle, and the symmetric matrix that makes it of a unit circle (px). */
  interface Outline extends Point {
    xx: number;
    xy: number;
    yy: number;
  }

  /** Semi-axes, a >= b (px), and the tilt of a from +x toward +y (degrees). */
  interface Axes {
    a: number;
    b: number;
    tilt: number;
  }

  interface Ring extends Point, Axes {}

  /** A kind of mark: the rim, a joint that the lift asks for, the bar's end, an end of a level edge. `pictures`: in which, of a clip; `ofPhoto`: whether a photo is asked for it; `lead`: what to do while it is missing; `wanted`: it is asked for, but can be left; `at`: the moments at which; `from`: where it may be, lowest and highest over the plate's middle, in its radii. */
  interface KindOf {
    key: string;
    label: string;
    hint: string;
    pictures: string;
    ofPhoto: boolean;
    lead: string;
    needed: boolean;
    wanted: boolean;
    at: string[];
    from?: [number, number];
  }

  /** A mark set by hand; `sd`: its error (px); `r`: of the bar's end, its radius in the picture (px). Rings have axes. */
  interface Mark extends Point, Partial<Axes> {
    sd: number;
    r?: number;
  }

  /** By kind, then by the number of the picture. */
  type AllMarks = { [kind: string]: { [index: number]: Mark } };

  // ---- what the tracker says to a picture

  interface Lost {
    lost: true;
    how: "lost";
    why: "none" | "small" | "left" | "covered";
    quality: 0;
  }

  interface Held extends Point, Partial<Axes> {
    lost: false;
    how: "rim" | "face";
    why?: undefined;
    sd: number;
    axes_sd?: number;
    quality: number;
  }

  /** How the background lies in a picture against the first one: shift (px), turn (degrees) and growth about the middle. */
  interface Moved extends Point {
    turn: number;
    grow: number;
    sd: number;
  }

  type Seen = (Lost | Held) & { moved?: Moved };
  type Track = Map<number, Seen>;

  /** Pictures one after another that are all followed, or all lost for one reason. */
  interface Stretch {
    from: number;
    to: number;
    lost: boolean;
    why: string;
  }

  /** A part of a picture, in whole pixels; read with each pixel the mean of `every` x `every`. `light`: colours are not needed. */
  interface Part extends Size {
    left: number;
    top: number;
    every: number;
    light?: boolean;
  }

  interface Pixels extends Size {
    data: Uint8ClampedArray<ArrayBuffer>;
  }

  type Read = (part: Part) => Pixels | Promise<Pixels>;

  // ---- page and worker of a clip

  /** How the planes of a decoded picture lie. */
  interface Layout {
    planes: [number, number];
    step: number;
    first: [number, number];
  }

  /** A picture as it was packed: its size, and by how many degrees it is turned to show it. */
  interface Packed {
    wide: number;
    high: number;
    rotation: number;
  }

  /** A part of a packed picture. */
  interface Rect extends Point, Size {}

  interface Info extends Size {
    turned: number;
    times: number[];
    last: number;
    codec: string;
    decodes: boolean;
    lens: number | null;
    missing: number;
  }

  type Job =
    | { do: "open"; file: File }
    | { do: "rim"; picture: Size; bitmap: ImageBitmap; tap: Point }
    | { do: "end"; picture: Size; bitmap: ImageBitmap; tap: Point; rim: Ring }
    | { do: "follow"; file?: File; picture: Size; times: number[]; from: number; mark: Ring; sent?: boolean };

  interface Decode { file: File; times: number[]; from: number }

  type Decoded =
    | { index: number; frame: VideoFrame; turned: import("mediabunny").Rotation; flip: boolean }
    | { done: true }
    | { trouble: { code: string; detail: string } };

  /** The rim round a tap, or why there is none: nothing clear, or several that do not go together. */
  type Rim = { ring: Ring; why?: undefined } | { ring?: undefined; why: "none" | "several" };

  interface Told {
    rim?: Rim;
    end?: number | null;
    info?: Info;
    frames?: [index: number, result: Seen][];
    preview?: ImageBitmap | null;
    want?: number;
    every?: number;
    done?: true;
    trouble?: { code: string; detail: string };
  }

  /** In words. */
  interface Trouble {
    code: string;
    message: string;
    remedy: string;
  }

  /** What is open: a clip or a photo. */
  interface Opened {
    kind: "clip" | "photo";
    file: File;
    times: number[];
    last: number;
    source: CanvasImageSource;
    info: Partial<Info>;
    picture: Size;
    show(index: number): Promise<void>;
    takeVideo(): Promise<void>;
    close(): void;
    follow(from: number, mark: Ring, on: (told: Told) => void): () => void;
  }
}
