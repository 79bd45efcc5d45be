export const UNNAMED: string;
export const PAGES: { [lift: string]: string };
export const KINDS: { [key: string]: "mass" | "angle" };
