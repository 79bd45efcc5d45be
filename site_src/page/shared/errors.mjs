// Errors as they are caught: of any kind.

/** The name of its kind; "" for what has none. @param {unknown} error */
export const nameOf = (error) => (typeof error === "object" && error && "name" in error ? String(error.name) : "");
