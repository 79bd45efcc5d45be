// Written by build.py: where each part of Python lies, and how long its files are.
interface Part {
  base: string;
  files: { [name: string]: { bytes: number } };
}
export const core: Part;
export const runtime: Part;
export const snapshot: Part & { memory: number; head: number };
