import js from "@eslint/js";
import globals from "globals";

// The recommended rules find mistakes; these few keep one way of saying a thing. Layout is prettier's.
export default [
  js.configs.recommended,
  {
    rules: {
      eqeqeq: "error",
      "no-var": "error",
      "prefer-const": "error",
      "no-shadow": "error",
      "no-unused-vars": ["error", { argsIgnorePattern: "^_" }],
    },
  },
  { files: ["static/js/**"], languageOptions: { globals: globals.browser } },
  { files: ["tests/**"], languageOptions: { globals: globals.node } },
];
