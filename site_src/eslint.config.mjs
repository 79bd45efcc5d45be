// What ESLint looks for in the scripts: its recommended rules and those that catch real faults; nothing about style.
// Run from the top folder, so that paths are those of the project: build.py check.
import { createRequire } from "node:module";

const installed = createRequire(new URL("../.build/npm/", import.meta.url));
const js = installed("@eslint/js");
const globals = installed("globals");

const within = (files, names) => ({ files, languageOptions: { globals: names } });

export default [
  js.configs.recommended,
  {
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      "array-callback-return": "error",
      "default-case-last": "error",
      eqeqeq: "error",
      "no-constructor-return": "error",
      "no-duplicate-imports": "error",
      "no-implicit-globals": "error",
      "no-promise-executor-return": "error",
      "no-self-compare": "error",
      "no-template-curly-in-string": "error",
      "no-unmodified-loop-condition": "error",
      "no-unreachable-loop": "error",
      "no-unused-expressions": "error",
      "no-unused-vars": ["error", { varsIgnorePattern: "^_+$", argsIgnorePattern: "^_" }],
      "no-use-before-define": ["error", { functions: false, classes: false, variables: false }],
      "no-var": "error",
      "prefer-const": ["error", { destructuring: "all" }],
    },
  },
  within(["site_src/page/**"], globals.browser),
  within(["site_src/worker/**", "site_src/page/film/clip-worker.mjs"], globals.worker),
  within(["site_src/sw/**"], globals.serviceworker),
  within(["site_src/runtime/**", "site_src/eslint.config.mjs", "tests/**"], globals.node),
];
