// The page's check of a lifter, written by Ajv from the core's schema: page/shared/shapes.mjs, which exports `isLifter`.
//   node shapes.mjs NODE_MODULES SCHEMA OUT
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { resolve } from 'node:path';

const [modules, path, out] = process.argv.slice(2).map((one) => resolve(one));
const load = createRequire(`${modules}/`);
const { default: Ajv } = load('ajv/dist/2020');
const { default: standalone } = load('ajv/dist/standalone');
const { minify } = load('terser');

const schema = JSON.parse(readFileSync(path, 'utf8'));
const ajv = new Ajv({ schemas: [{ ...schema, $id: 'lifters' }], strictTypes: false, messages: false, inlineRefs: false, code: { source: true, esm: true, lines: true } });
let code = standalone(ajv, { isLifter: 'lifters#/$defs/lifter' });

// What Ajv would have required at run time stands in the module itself: how long a text is in characters.
const length = load('ajv/dist/runtime/ucs2length').default;
code = code.replace(/require\("ajv\/dist\/runtime\/ucs2length"\)\.default/g, `(${length})`);

// Long texts, such as a log of sets, are most of a record: their characters are counted only where there may be too many, and that no
// half of one is among them the browser itself knows soonest.
const quicker = (/** @type {RegExp | string} */ slow, /** @type {string} */ quick) => {
  const before = code;
  code = code.replaceAll(slow, quick);
  if (code === before) throw new Error(`the check of lifters holds no ${slow}`);
};
quicker(/\b(func\d+)\((data\d*)\) > ([\d.e+]+)/g, '$2.length > $3 && $1($2) > $3');
const whole = 'new RegExp("^[^\\\\ud800-\\\\udfff]*$", "u")';
quicker(whole, `(({ test: (text) => text.isWellFormed?.() ?? ${whole}.test(text) }))`);

if (code.includes('require(')) throw new Error('the check of lifters needs more of Ajv than stands in it');

const licence = readFileSync(`${modules}/ajv/LICENSE`, 'utf8').trim();
const small = await minify(code, { module: true, compress: { passes: 2 } });
writeFileSync(out, `/* made by Ajv\n\n${licence}\n*/\n${small.code}\n`);
