// For node --test: page scripts are tested as they stand in site_src/; what build.py makes beside them is taken from where it is.
import { existsSync } from "node:fs";
import { registerHooks } from "node:module";

const root = new URL("../../", import.meta.url);
const MADE = {
  "site_src/words.mjs": "dist/words.mjs",
  "site_src/page/idb.mjs": ".build/npm/node_modules/idb/build/index.js",
  "site_src/page/film/mediabunny.mjs": ".build/npm/node_modules/mediabunny/dist/bundles/mediabunny.min.mjs",
};

registerHooks({
  resolve(name, context, next) {
    const wanted = name.startsWith(".") ? new URL(name, context.parentURL).href : "";
    const made = MADE[wanted.slice(root.href.length)];
    if (!made || !wanted.startsWith(root.href)) return next(name, context);
    const url = new URL(made, root);
    if (!existsSync(url)) throw new Error(`${made} is missing: run build.py build first`);
    return next(url.href, context);
  },
});
