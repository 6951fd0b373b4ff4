// Bundles what runs in the browser into the package: one script for the page, one for the desk.
import { build } from "esbuild";
import { copyFile, mkdir } from "node:fs/promises";

const target = new URL("../src/lickwright/", import.meta.url).pathname;
const shared = {
  bundle: true,
  minify: true,
  format: "iife",
  target: ["es2022", "safari16"],
  charset: "utf8",
  legalComments: "eof",
  logLevel: "warning",
};

await mkdir(`${target}desk/web`, { recursive: true });
await mkdir(`${target}pack/web`, { recursive: true });
await build({ ...shared, entryPoints: ["src/page/page.ts"], outfile: `${target}pack/web/page.js` });
await build({ ...shared, entryPoints: ["styles/page.css"], outfile: `${target}pack/web/page.css` });
await build({ ...shared, entryPoints: ["src/desk/desk.ts"], outfile: `${target}desk/web/desk.js` });
await build({ ...shared, entryPoints: ["styles/desk.css"], outfile: `${target}desk/web/desk.css` });
await copyFile("src/desk/desk.html", `${target}desk/web/desk.html`);
