// Builds the page into ../assets: the same sources and lock file give the same bytes.
import { readFile, writeFile, mkdir, readdir } from "node:fs/promises";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = path.dirname(fileURLToPath(import.meta.url));
const assets = path.join(here, "..", "assets");

/** @param {string} input @param {string} output */
async function bundle(input, output) {
  const result = await build({
    absWorkingDir: here,
    entryPoints: [input],
    outfile: path.join(assets, output),
    bundle: true,
    mainFields: ["module", "main"], // others have packages within packages, whose licences would be missed
    minify: true,
    format: "esm",
    target: ["es2022", "chrome109", "firefox115", "safari16"],
    legalComments: "none",
    charset: "utf8",
    metafile: true,
    write: false,
  });
  for (const file of result.outputFiles) await writeFile(file.path, file.contents);
  return Object.keys(result.metafile.inputs);
}

/** The names of the packages that some bundled files come from. @param {string[]} inputs */
function packagesOf(inputs) {
  const names = inputs.map((name) => /node_modules\/((?:@[^/]+\/)?[^/]+)\//.exec(name)?.[1]);
  return [...new Set(names.filter((name) => name !== undefined))].sort();
}

/** The licence of a package, in full. @param {string} name */
async function licenceOf(name) {
  const folder = path.join(here, "node_modules", name);
  const { version, license } = JSON.parse(await readFile(path.join(folder, "package.json"), "utf8"));
  const all = (await readdir(folder)).sort();
  const file = all.find((one) => /^licen[cs]e/i.test(one)) ?? all.find((one) => /^readme/i.test(one)) ?? "";
  const whole = await readFile(path.join(folder, file), "utf8");
  // Some state their licence at the end of what they tell of themselves.
  const text = /^readme/i.test(file) ? whole.split(/^#+ Licen[cs]e\s*$/m)[1] ?? "" : whole;
  if (text.trim() === "") throw new Error(`${name}: no licence`);
  return `${name} ${version} (${license})\n\n${text.trim().replaceAll("\r\n", "\n")}\n`;
}

await mkdir(assets, { recursive: true });
const inputs = [...(await bundle("src/app.js", "app.js")), ...(await bundle("src/app.css", "app.css"))];
const licences = await Promise.all(packagesOf(inputs).map(licenceOf));
await writeFile(path.join(assets, "licences.txt"), licences.join(`\n${"-".repeat(78)}\n\n`));
await writeFile(path.join(assets, "index.html"), await readFile(path.join(here, "src", "index.html")));
