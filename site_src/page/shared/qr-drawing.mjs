// A QR code as a drawing.

import { makeSvg } from "./element.mjs";

const QUIET_ZONE = 4; // modules, ISO/IEC 18004

/** @param {{ size: number, get(x: number, y: number): boolean }} code */
export function qrDrawing(code) {
  const side = code.size + 2 * QUIET_ZONE;
  let path = "";
  for (let y = 0; y < code.size; y += 1) {
    for (let x = 0; x < code.size; x += 1) {
      if (code.get(x, y)) path += `M${x + QUIET_ZONE} ${y + QUIET_ZONE}h1v1h-1z`;
    }
  }
  return makeSvg("svg", { viewBox: `0 0 ${side} ${side}`, "aria-hidden": "true" }, makeSvg("path", { d: path }));
}
