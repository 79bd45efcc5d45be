// What the scripts take from files that are made at build time.
declare module "*/words.mjs" {
  /** The text of that name, its {} filled in one after the other. */
  export function say(name: string, ...parts: unknown[]): string;
}
