// Outlines, marks and pixels of the film check, by the algebra of ellipses and the colours of ITU-R BT.601.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { Background } from '../../dist/page/film/background.mjs';
import { Pace } from '../../dist/page/film/pace.mjs';
import { Marks, after, grownBy, outlineAt, requestOf, ring, stretches } from '../../dist/page/film/marks.mjs';
import { Patch, Strip, RAYS, axesOf, circle, fromAxes, sizeOf } from '../../dist/page/film/outline.mjs';
import { core } from './from_core.mjs';
import { evenPart, layoutOf, packedPart, toRgba } from '../../dist/page/film/pixels.mjs';

const KINDS = [{ key: 'rim', needed: true }, { key: 'shoulder', needed: true }, { key: 'bar_end' }, { key: 'edge_a' }, { key: 'edge_b' }];
const near = (a, b, by = 1e-9) => assert.ok(Math.abs(a - b) <= by, `${a} is not ${b}`);

test('axes and matrix are the same ellipse', () => {
  for (const [a, b, tilt] of [[40, 20, 30], [40, 39, -60], [10, 3, 90], [8, 8, 0]]) {
    const outline = fromAxes({ x: 5, y: 6, a, b, tilt });
    const back = axesOf(outline);
    near(back.a, a);
    near(back.b, b);
    near(sizeOf(outline), Math.sqrt(a * b)); // the area of an ellipse is pi a b
    if (a !== b) near(back.tilt, tilt, 1e-6);
  }
});

test('the matrix of an ellipse is the core\'s', () => {
  for (const { a, b, tilt, half, axes } of core.ellipses) {
    const outline = fromAxes({ x: 0, y: 0, a, b, tilt });
    for (const [i, value] of [outline.xx, outline.xy, outline.yy].entries()) near(value, half[i], 1e-9 * a);
    const back = axesOf(outline);
    for (const [i, value] of [back.a, back.b, back.tilt].entries()) near(value, axes[i], 1e-6);
  }
});

test('a patch leads into itself and back', () => {
  const patch = new Patch({ data: new Uint8ClampedArray(4), width: 1, height: 1 }, { left: 30, top: 40, scale: 0.5 });
  const outline = fromAxes({ x: 100, y: 90, a: 20, b: 10, tilt: 15 });
  assert.deepEqual(patch.back(patch.into(outline)), outline);
});

test('a strip is steepest where the edge of a painted disc is', () => {
  const [width, height, radius] = [80, 80, 22];
  const data = new Uint8ClampedArray(width * height * 4);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) data.fill(Math.hypot(x + 0.5 - 40, y + 0.5 - 40) < radius ? 220 : 30, 4 * (y * width + x), 4 * (y * width + x) + 4);
  }
  const reach = 8;
  const strip = new Strip(new Patch({ data, width, height }), circle(40, 40, radius - 3), reach);
  for (let ray = 0; ray < RAYS; ray++) {
    const row = [...strip.steep.subarray(ray * strip.long, (ray + 1) * strip.long)];
    near(row.indexOf(Math.max(...row)) - reach, 3, 1);
  }
});

test('the nearest mark counts, and goes when it is taken off', () => {
  const marks = new Marks(KINDS);
  marks.put('rim', 4, ring(10, 10, 5));
  marks.put('rim', 20, ring(30, 10, 5));
  assert.deepEqual([marks.at('rim', 10).index, marks.at('rim', 10).own, marks.at('rim', 20).own], [4, false, true]);
  marks.remove('rim', 11);
  assert.deepEqual(marks.places('rim'), [20]);
  near(grownBy(ring(1, 2, 10), 1.5).a, 15);
});

test('what was followed becomes stretches, and the request of the core', () => {
  const track = new Map([[3, { lost: false, x: 1, y: 2, a: 5, b: 4, tilt: 0, sd: 0.2, axes_sd: 0.3, quality: 1 }], [4, { lost: true, why: 'left' }], [5, { lost: true, why: 'left' }]]);
  assert.deepEqual(stretches(track), [{ from: 3, to: 3, lost: false, why: '' }, { from: 4, to: 5, lost: true, why: 'left' }]);
  const marks = new Marks(KINDS);
  const given = { clip: { kind: 'clip', times: [0, 0.1, 0.2, 0.3, 0.4, 0.5], picture: {} }, marks, track, unit: 'cm', fields: { a: ' ', b: '2' }, choices: {} };
  assert.equal(requestOf(given), null, 'no shoulder');
  assert.equal(requestOf(given, 'film/moments').want, 'film/moments');
  marks.put('shoulder', 3, { x: 7, y: 8, sd: 2 });
  const request = requestOf(given);
  assert.deepEqual(request.frames.map((frame) => [frame.t, Boolean(frame.lost)]), [[0.3, false], [0.4, true], [0.5, true]]);
  assert.deepEqual(request.marks, { shoulder: [{ t: 0.3, x: 7, y: 8, sd: 2 }] });
  assert.deepEqual(request.fields, { b: '2' });
  assert.deepEqual(outlineAt(track, marks, 4), null);
});

test('a part of a turned picture', () => {
  const packed = { wide: 100, high: 60 };
  const part = { left: 10, top: 20, width: 30, height: 8 };
  assert.deepEqual(packedPart(part, { ...packed, rotation: 0 }), { x: 10, y: 20, width: 30, height: 8 });
  assert.deepEqual(packedPart(part, { ...packed, rotation: 180 }), { x: 60, y: 32, width: 30, height: 8 });
  assert.deepEqual(evenPart({ x: 3, y: 5, width: 4, height: 4 }, packed), { x: 2, y: 4, width: 6, height: 6 });
  assert.equal(layoutOf('RGBX'), null);
});

test('white, black and red by ITU-R BT.601', () => {
  const colours = { white: [235, 128, 128, [255, 255, 255]], black: [16, 128, 128, [0, 0, 0]], red: [81, 90, 240, [255, 0, 0]] };
  for (const [name, [y, u, v, wanted]] of Object.entries(colours)) {
    const bytes = Uint8Array.from([...new Array(16).fill(y), ...new Array(4).fill(u), ...new Array(4).fill(v)]);
    const planes = [{ offset: 0, stride: 4 }, { offset: 16, stride: 2 }, { offset: 20, stride: 2 }];
    const whole = { left: 0, top: 0, width: 4, height: 4, every: 1 };
    const { data } = toRgba(bytes, planes, { x: 0, y: 0, width: 4, height: 4 }, whole, { wide: 4, high: 4, rotation: 0 }, layoutOf('I420'));
    for (let i = 0; i < 3; i++) near(data[i], wanted[i], 2);
    assert.equal(data.length, 64, name);
  }
});

test('a movement after a movement, by complex numbers', () => {
  const [first, then] = [{ x: 3, y: -2, turn: 2, grow: 1.01, sd: 0.3 }, { x: -5, y: 1, turn: -3, grow: 0.98, sd: 0.4 }];
  const through = ({ x, y, turn, grow }, [u, v]) => {
    const [c, s] = [grow * Math.cos((turn * Math.PI) / 180), grow * Math.sin((turn * Math.PI) / 180)];
    return [x + c * u - s * v, y + s * u + c * v];
  };
  const [x, y] = through(after(first, then), [40, 70]);
  const wanted = through(then, through(first, [40, 70]));
  near(x, wanted[0], 1e-9);
  near(y, wanted[1], 1e-9);
  near(after(first, then).sd, 0.5);
});

test('a slow device leaves pictures out knowingly, a quick one none', () => {
  const times = Array.from({ length: 600 }, (_, i) => i / 60);
  const seen = (ms, first = 0) => { // that many a picture, and more before the first
    const pace = new Pace(times, 0);
    let [now, count] = [0, 0];
    for (let i = 0; i < times.length; i++) if (pace.looks(i, now)) { now += ms + (i ? 0 : first); count++; }
    return { count, every: pace.every };
  };
  assert.deepEqual(seen(4), { count: 600, every: 1 });
  assert.deepEqual(seen(4, 900), { count: 600, every: 1 }); // slow only to begin
  const slow = seen(25);
  assert.equal(slow.every, 2);
  assert.ok(slow.count > 290 && slow.count < 350, `${slow.count}`);
  const few = new Pace(times.filter((_, i) => i % 2 === 0), 0); // 30 a second are needed as they are
  for (let i = 0; i < 300; i++) assert.ok(few.looks(i, 100 * i));
});

test('the background tells shift, turn and growth, whatever the lifter does', async () => {
  const [width, height] = [640, 480];
  const posters = Array.from({ length: 400 }, (_, i) => 60 + ((i * i * 31 + i * 17) % 131));
  /** A wall of soft-edged posters, moved; in its middle something that goes its own way. */
  const picture = ({ x, y, turn, grow }, walker) => ({ left, top, width: w, height: h, every }) => {
    const data = new Uint8ClampedArray((w / every) * (h / every) * 4);
    const [c, s] = [Math.cos((turn * Math.PI) / 180) / grow, Math.sin((turn * Math.PI) / 180) / grow];
    for (let j = 0; j < h / every; j++) {
      for (let i = 0; i < w / every; i++) {
        const [px, py] = [left + (i + 0.5) * every - width / 2 - x, top + (j + 0.5) * every - height / 2 - y];
        const [u, v] = [(c * px + s * py) / 37 + 20, (-s * px + c * py) / 37 + 20];
        const soft = (at) => Math.min(Math.max(((at % 1) - 0.5) * 20 + 0.5, 0), 1);
        const cell = (a, b) => posters[(Math.floor(u + a) * 20 + Math.floor(v + b)) % 400];
        const [a, b] = [soft(u), soft(v)];
        let value = (1 - a) * ((1 - b) * cell(0, 0) + b * cell(0, 1)) + a * ((1 - b) * cell(1, 0) + b * cell(1, 1));
        if (Math.hypot(left + i * every - walker, top + j * every - 60) < 40) value = (i + j) % 9 > 4 ? 220 : 20;
        data.fill(value, 4 * (j * (w / every) + i), 4 * (j * (w / every) + i) + 4);
      }
    }
    return { data, width: w / every, height: h / every };
  };
  const still = { x: 0, y: 0, turn: 0, grow: 1 };
  const background = new Background({ width, height }, { x: 320, y: 300, a: 50, b: 50, tilt: 0 });
  assert.ok(await background.start(picture(still, 100)));
  for (const wanted of [still, { x: 2.2, y: -1.7, turn: 0.2, grow: 1 }, { x: 4.1, y: -3.5, turn: 0.5, grow: 1.004 }]) {
    const moved = await background.step(picture(wanted, 100 + 30 * wanted.x));
    assert.ok(moved);
    near(moved.x, wanted.x, 0.25);
    near(moved.y, wanted.y, 0.25);
    near(moved.turn, wanted.turn, 0.06);
    near(moved.grow, wanted.grow, 0.002);
    assert.ok(moved.sd < 0.25);
  }
  const wall = new Background({ width, height }, { x: 320, y: 300, a: 50, b: 50, tilt: 0 });
  assert.equal(await wall.start(({ width: w, height: h, every }) => ({ data: new Uint8ClampedArray((w / every) * (h / every) * 4).fill(90), width: w / every, height: h / every })), false);
});
