// What the project's JavaScript is held to. Run from the project's folder:
//   tests/node_modules/.bin/eslint -c tests/eslint.config.js site_templates build/src tests
import js from "@eslint/js";
import globals from "globals";

/** Text that becomes markup is how a page gets hurt, and pasted markup is how it gets ugly: build nodes, or use a template. */
const PASTED_MARKUP = [
  {
    selector: "AssignmentExpression > MemberExpression.left[property.name=/^(inner|outer)HTML$/]",
    message: "Build nodes or clone a <template>; do not paste markup.",
  },
  {
    selector: "CallExpression[callee.property.name=/^(insertAdjacentHTML|setHTMLUnsafe|createContextualFragment)$/]",
    message: "Build nodes or clone a <template>; do not paste markup.",
  },
  { selector: "CallExpression[callee.object.name='document'][callee.property.name='write']", message: "Build nodes." },
];

const WORKERS = ["site_templates/scripts/*worker*.js", "build/src/treadleaf/hosting_files/take-back/*.js"];
const NODE = ["build/src/**/*.mjs", "tests/**/*.{js,mjs}"];

export default [
  { ignores: ["**/node_modules/**", "site/**", ".venv/**"] },
  js.configs.recommended,
  {
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      curly: ["error", "multi-line"],
      eqeqeq: "error",
      "no-alert": "error",
      "no-console": "error",
      "no-eval": "error",
      "no-implied-eval": "error",
      "no-new-func": "error",
      "no-restricted-syntax": ["error", ...PASTED_MARKUP],
      "no-shadow": "error",
      "no-throw-literal": "error",
      "no-unused-vars": ["error", { args: "all" }],
      "no-var": "error",
      "prefer-const": "error",
    },
  },
  { files: ["site_templates/**/*.js"], ignores: WORKERS, languageOptions: { globals: globals.browser } },
  { files: WORKERS, languageOptions: { globals: { ...globals.worker, ...globals.serviceworker } } },
  { files: NODE, languageOptions: { globals: globals.nodeBuiltin }, rules: { "no-console": "off" } },
];
