// What ESLint looks for in every script: what is likely a fault, nothing about style. Copied beside its modules, see setup.py.
import js from '@eslint/js';
import globals from 'globals';

export default [
  js.configs.recommended,
  { languageOptions: { globals: { ...globals.browser, ...globals.worker } } },
  { files: ['**/sw/*.js'], languageOptions: { globals: globals.serviceworker } },
  { files: ['**/runtime/*.mjs', '**/make/**/*.mjs', 'tests/**/*.mjs'], languageOptions: { globals: globals.node } },
  {
    rules: {
      'array-callback-return': 'error',
      eqeqeq: ['error', 'always', { null: 'ignore' }],
      'no-self-compare': 'error',
      'no-shadow': 'error',
      'no-template-curly-in-string': 'error',
      'no-throw-literal': 'error',
      'no-unmodified-loop-condition': 'error',
      'no-unreachable-loop': 'error',
      'no-unused-vars': ['error', { args: 'after-used', caughtErrors: 'all' }],
      'no-var': 'error',
      'prefer-const': 'error',
    },
  },
];
