/** The text of that name, its {} filled in one after the other. */
export function say(name: string, ...parts: unknown[]): string;
