// The picture with its marks: zoom, loupe, fingers and keys. It draws; what the marks are is not its affair.
// Over 300 lines: fingers, zoom and loupe share one place in the picture.

import { byId } from "../shared/find.mjs";

const NS = "http://www.w3.org/2000/svg";
const MOST_ZOOM = 12;
const LOUPE_MS = 2500; // how long the loupe stays after the last touch
const LOUPE_TIMES = 3; // finer than the picture around it
const LOUPE_RING = 0.4; // of its side: the radius of a ring that it shows all of
const TAP_PX = 6; // a finger that moved less has tapped
const ROOM = 3.2; // radii of the plate to either side of it that are shown once it is marked
const GRIP_PX = 30; // how near a finger must be to the handle of the ring


/**
 * @typedef {Film.Mark & { kind: string, label: string, chosen: boolean, own: boolean }} ShownMark
 * @typedef {{ marks?: ShownMark[], held?: Film.Ring | null, path?: [number, number][][], preview?: ImageBitmap | null }} Shown
 * @typedef {{ width: number, height: number, scale: number, wide: number, high: number, left: number, top: number }} Frame
 * @typedef {object} Handlers in px of the picture
 * @property {(point: Film.Point) => void} onTap
 * @property {(dx: number, dy: number, start: Film.Point) => void} onMove
 * @property {(dx: number) => void} onSize
 * @property {(event: KeyboardEvent) => void} onKey
 */

/** @param {string} name @param {{ [key: string]: string | number }} attributes @param {Element} parent */
function shape(name, attributes, parent) {
  const made = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  parent.append(made);
  return made;
}

/** @param {HTMLCanvasElement} canvas */
function contextOf(canvas) {
  const context = canvas.getContext("2d", { alpha: false });
  if (!context) throw new Error("this browser does not draw on a canvas");
  return context;
}

export class Stage {
  #box = byId("stage");
  #canvas = byId("canvas", HTMLCanvasElement);
  #overlay = byId("overlay", SVGElement);
  #loupe = byId("loupe", HTMLCanvasElement);
  /** @type {CanvasImageSource | null} */
  #source = null;
  #picture = { width: 16, height: 9 };
  #view = { x: 8, y: 4.5, zoom: 1 };
  /** @type {Shown | null} */
  #shown = null; // what `show` was given last
  /** @type {Map<number, Film.Point>} */
  #fingers = new Map();
  #hiding = 0;
  #whole = false; // whether the loupe shows all of a ring
  /** @type {(Film.Point & { id: number, far: number, sizing: boolean, point: Film.Point, moved?: boolean }) | null} */
  #drag = null;

  /** `onTap(point)`, `onMove(dx, dy)`, `onSize(dx)`: in px of the picture; `onKey(event)`. @param {Handlers} handlers */
  constructor(handlers) {
    this.handlers = handlers;
    new ResizeObserver(() => {
      document.documentElement.style.setProperty("--stage-high", `${this.#box.offsetHeight}px`);
      this.draw();
    }).observe(this.#box);
    this.#box.addEventListener("pointerdown", (event) => this.#down(event));
    this.#box.addEventListener("pointermove", (event) => this.#move(event));
    this.#box.addEventListener("pointerup", (event) => this.#up(event));
    this.#box.addEventListener("pointercancel", (event) => this.#up(event));
    this.#box.addEventListener("keydown", (event) => handlers.onKey(event));
  }

  /** A new picture: what it is drawn from, and its size. @param {CanvasImageSource} source @param {Film.Size} picture */
  open(source, picture) {
    this.#source = source;
    this.#picture = picture;
    this.#view = { x: picture.width / 2, y: picture.height / 2, zoom: 1 };
    this.#box.style.setProperty("--ratio", String(picture.width / picture.height));
    this.draw();
  }

  /** Draws the picture (or `preview` of it) with `marks` [{kind, label, chosen, own, x, y, a?, b?, tilt?}], `held` {x, y, a, b, tilt} or null, and `path` [[[x, y], …], …]. @param {Shown} shown */
  show(shown) {
    this.#shown = shown;
    this.draw();
  }

  // ---- where things are

  /** @returns {Frame} */
  #frame() {
    const { clientWidth: width, clientHeight: height } = this.#box;
    const { zoom } = this.#view;
    const scale = Math.min(width / this.#picture.width, height / this.#picture.height) * zoom;
    return { width, height, scale, wide: width / scale, high: height / scale, left: this.#view.x - width / scale / 2, top: this.#view.y - height / scale / 2 };
  }

  #clamp() {
    const { wide, high } = this.#frame();
    const inside = (/** @type {number} */ middle, /** @type {number} */ half, /** @type {number} */ size) => (2 * half >= size ? size / 2 : Math.min(Math.max(middle, half), size - half));
    this.#view.x = inside(this.#view.x, wide / 2, this.#picture.width);
    this.#view.y = inside(this.#view.y, high / 2, this.#picture.height);
  }

  /** @param {PointerEvent} event */
  #pointOf(event) {
    const box = this.#box.getBoundingClientRect();
    const { left, top, scale } = this.#frame();
    const { clientLeft, clientTop } = this.#box; // its border
    return { x: left + (event.clientX - box.left - clientLeft) / scale, y: top + (event.clientY - box.top - clientTop) / scale };
  }

  /** One px of the screen in px of the picture. */
  get grain() {
    return 1 / (this.#frame().scale || 1);
  }

  get middle() {
    return { x: this.#view.x, y: this.#view.y };
  }

  get zoom() {
    return this.#view.zoom;
  }

  /** @param {number} factor @param {Film.Point | null} about */
  zoomBy(factor, about = null) {
    const zoom = Math.min(MOST_ZOOM, Math.max(1, this.#view.zoom * factor));
    this.#view = about ? { ...about, zoom } : { ...this.#view, zoom };
    this.draw();
  }

  /** Shows the plate and where a joint may be, `from` [lowest, highest] over the plate's middle in its radii; never less near than now, unless `anew`. @param {Film.Ring} ring @param {[number, number]} from */
  showFrom({ x, y, a, b }, [low, high] = [-ROOM, ROOM], anew = false) {
    const { width, height, scale } = this.#frame();
    const [lowest, highest] = [Math.min(low, -1) - 0.2, Math.max(high, 1) + 0.2];
    const radius = Math.max(a, b);
    const needed = Math.min(height / ((highest - lowest) * radius), width / (2 * ROOM * radius));
    const zoom = Math.min(MOST_ZOOM, Math.max(1, (needed / scale) * this.#view.zoom));
    if (anew || zoom > this.#view.zoom) this.#view = { x, y: y - ((lowest + highest) / 2) * radius, zoom };
    this.draw();
  }

  /** Moves the view so that a mark is well inside it. @param {Film.Point} mark */
  follow({ x, y }) {
    const { wide, high, left, top } = this.#frame();
    const room = 0.15;
    if (x < left + room * wide || x > left + (1 - room) * wide) this.#view.x = x;
    if (y < top + room * high || y > top + (1 - room) * high) this.#view.y = y;
  }

  // ---- drawing

  draw() {
    const { clientWidth: width, clientHeight: height } = this.#box;
    if (!width || !height || !this.#source) return;
    this.#clamp();
    const dense = Math.min(2, devicePixelRatio || 1);
    const [w, h] = [Math.round(width * dense), Math.round(height * dense)];
    if (this.#canvas.width !== w || this.#canvas.height !== h) Object.assign(this.#canvas, { width: w, height: h });
    const frame = this.#frame();
    const context = contextOf(this.#canvas);
    this.#paint(context, frame.left, frame.top, frame.scale * dense, w, h);
    this.#overlay.setAttribute("viewBox", [frame.left, frame.top, frame.wide, frame.high].map((value) => value.toFixed(2)).join(" "));
    this.#mark(frame);
    if (!this.#loupe.hidden) this.#magnify(frame, dense);
  }

  /** @param {CanvasRenderingContext2D} context @param {number} left @param {number} top @param {number} scale @param {number} w @param {number} h */
  #paint(context, left, top, scale, w, h) {
    const drawn = this.#shown?.preview ?? this.#source;
    if (!drawn) return;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.fillStyle = "#0e1113";
    context.fillRect(0, 0, w, h);
    context.setTransform(scale, 0, 0, scale, -left * scale, -top * scale);
    context.imageSmoothingEnabled = scale < 3;
    context.drawImage(drawn, 0, 0, this.#picture.width, this.#picture.height);
  }

  /** @param {Frame} frame */
  #mark({ scale }) {
    const overlay = this.#overlay;
    overlay.replaceChildren();
    const { marks = [], held = null, path = [] } = this.#shown ?? {};
    for (const part of path) {
      const points = part.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join(" ");
      for (const name of ["under", "path"]) shape("polyline", { points, class: name }, overlay);
    }
    if (held) this.#ring(held, "held");
    const arm = 9 / scale;
    for (const mark of marks) {
      const group = `${mark.chosen ? "chosen" : "other"}${mark.own ? "" : " elsewhere"}`;
      if (mark.a) {
        this.#ring(mark, group);
        if (mark.chosen) for (const name of ["under", `handle ${group}`]) shape("circle", { cx: mark.x + mark.a, cy: mark.y, r: 8 / scale, class: name }, overlay);
      }
      const d = `M${mark.x - arm} ${mark.y}h${2 * arm}M${mark.x} ${mark.y - arm}v${2 * arm}`;
      for (const name of ["under", group]) shape("path", { d, class: name }, overlay);
      const above = mark.b ? mark.b + 0.5 * arm : arm; // the ring's name over the ring, clear of what is marked inside
      const text = shape("text", { x: mark.b ? mark.x : mark.x + 1.3 * arm, y: mark.y - above, class: group, "font-size": 13 / scale, "text-anchor": mark.b ? "middle" : "start" }, overlay);
      text.textContent = mark.label;
    }
  }

  /** @param {Film.Point & Partial<Film.Axes>} ring @param {string} name */
  #ring({ x, y, a = 0, b = 0, tilt = 0 }, name) {
    const where = { cx: x, cy: y, rx: a, ry: b, transform: `rotate(${tilt.toFixed(3)} ${x.toFixed(2)} ${y.toFixed(2)})` };
    for (const one of ["under", name]) shape("ellipse", { ...where, class: one }, this.#overlay);
  }

  // ---- loupe

  /** Shows the surroundings of the chosen mark larger, for a while; `whole`: all of a ring. */
  magnify(whole = false) {
    this.#whole = whole;
    this.#loupe.hidden = false;
    clearTimeout(this.#hiding);
    if (!this.#drag) this.#hiding = setTimeout(() => { this.#loupe.hidden = true; }, LOUPE_MS);
    this.draw();
  }

  closeLoupe() {
    clearTimeout(this.#hiding);
    this.#loupe.hidden = true;
  }

  /** @param {Frame} frame @param {number} dense */
  #magnify({ scale, left, top, wide }, dense) {
    const mark = this.#shown?.marks?.find(({ chosen }) => chosen);
    if (!mark) return this.closeLoupe();
    const size = this.#loupe.clientWidth * dense;
    if (this.#loupe.width !== size) Object.assign(this.#loupe, { width: size, height: size });
    const fine = this.#whole && mark.a ? (LOUPE_RING * size) / mark.a : scale * LOUPE_TIMES * dense;
    const context = contextOf(this.#loupe);
    const [x, y] = [mark.x, mark.y];
    this.#paint(context, x - size / fine / 2, y - size / fine / 2, fine, size, size);
    for (const { width, colour } of [{ width: 3.5, colour: "#17191a" }, { width: 1.25, colour: "#f6c617" }]) {
      context.lineWidth = (width * dense) / fine;
      context.strokeStyle = colour;
      context.beginPath();
      if (mark.a && mark.b) context.ellipse(x, y, mark.a, mark.b, ((mark.tilt ?? 0) * Math.PI) / 180, 0, 2 * Math.PI);
      const arm = this.#whole ? 6 / fine : size / fine; // nothing hides a ring that is looked at
      context.moveTo(x - arm, y);
      context.lineTo(x + arm, y);
      context.moveTo(x, y - arm);
      context.lineTo(x, y + arm);
      context.stroke();
    }
    this.#loupe.classList.toggle("right", x - left < wide / 2);
    this.#loupe.classList.toggle("low", y - top < (0.5 * wide * this.#box.clientHeight) / this.#box.clientWidth && x - left > 0.35 * wide && x - left < 0.65 * wide);
  }

  // ---- fingers

  /** @param {PointerEvent} event */
  #down(event) {
    this.#box.setPointerCapture(event.pointerId);
    this.#fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (this.#fingers.size > 1) {
      this.#drag = null;
      return;
    }
    const point = this.#pointOf(event);
    const mark = this.#shown?.marks?.find(({ chosen }) => chosen);
    const gripped = mark?.a && Math.hypot(point.x - mark.x - mark.a, point.y - mark.y) < GRIP_PX * this.grain;
    this.#drag = { id: event.pointerId, x: event.clientX, y: event.clientY, far: 0, sizing: Boolean(gripped), point };
  }

  /** @param {PointerEvent} event */
  #move(event) {
    const before = this.#fingers.get(event.pointerId);
    if (!before) return;
    if (this.#fingers.size > 1) return this.#pinch(event, before);
    const drag = this.#drag;
    this.#fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (!drag || drag.id !== event.pointerId) return;
    drag.far = Math.max(drag.far, Math.hypot(event.clientX - drag.x, event.clientY - drag.y));
    if (drag.far < TAP_PX) return;
    const last = drag.moved ? before : drag; // what a finger does before it counts as moving is not lost
    drag.moved = true;
    const [dx, dy] = [(event.clientX - last.x) * this.grain, (event.clientY - last.y) * this.grain];
    if (drag.sizing) this.handlers.onSize(dx);
    else this.handlers.onMove(dx, dy, drag.point);
  }

  /** @param {PointerEvent} event @param {Film.Point} old where the finger was */
  #pinch(event, old) {
    const [one, other] = [...this.#fingers.entries()];
    const still = one[0] === event.pointerId ? other[1] : one[1];
    const now = { x: event.clientX, y: event.clientY };
    const apart = (/** @type {Film.Point} */ a, /** @type {Film.Point} */ b) => Math.max(20, Math.hypot(a.x - b.x, a.y - b.y));
    const { grain } = this;
    this.#fingers.set(event.pointerId, now);
    this.#view.x -= ((now.x - old.x) / 2) * grain;
    this.#view.y -= ((now.y - old.y) / 2) * grain;
    this.zoomBy(apart(now, still) / apart(old, still));
  }

  /** @param {PointerEvent} event */
  #up(event) {
    const drag = this.#drag;
    this.#fingers.delete(event.pointerId);
    if (!drag || drag.id !== event.pointerId) return;
    this.#drag = null;
    if (event.type === "pointerup" && drag.far < TAP_PX && !drag.sizing) this.handlers.onTap(drag.point);
    if (!this.#loupe.hidden) this.magnify(this.#whole);
  }
}
