import js from "@eslint/js";
import globals from "globals";

export default [
  js.configs.recommended,
  {
    languageOptions: { ecmaVersion: 2022, sourceType: "module", globals: globals.browser },
    rules: {
      curly: ["error", "multi-line"],
      eqeqeq: ["error", "smart"],
      "max-lines": ["error", 250],
      "max-params": ["error", 6],
      "no-restricted-globals": ["error", "event", "name"],
      "no-shadow": "error",
      "no-var": "error",
      "prefer-const": "error",
    },
  },
  { files: ["build.js", "tests/**"], languageOptions: { globals: globals.node } },
];
