// Draws the icons of the installed page from web/public/pail.svg: `npm run icons`, after changing the drawing.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { openBrowser } from "../helpers/browser.ts";

const folder = fileURLToPath(new URL("../../web/public", import.meta.url));
const drawing = readFileSync(`${folder}/pail.svg`, "utf8");

/** A launcher may cut a maskable icon to a circle of four fifths: all of the pail lies within. */
const icons = [
  { name: "pail-192.png", size: 192, pail: 0.8, corner: 0.18 },
  { name: "pail-512.png", size: 512, pail: 0.8, corner: 0.18 },
  { name: "pail-round-512.png", size: 512, pail: 0.56, corner: 0 },
];

const browser = await openBrowser();
try {
  for (const { name, size, pail, corner } of icons) {
    const page = await browser.newPage({ viewport: { width: size, height: size } });
    await page.setContent(`<style>
      body { margin: 0; background: transparent }
      div { display: grid; place-items: center; width: ${size}px; height: ${size}px;
            background: #d7e8ee; border-radius: ${corner * size}px }
      svg { width: ${pail * size}px }
    </style><div>${drawing}</div>`);
    await page.screenshot({ path: `${folder}/${name}`, omitBackground: true });
    await page.close();
  }
} finally {
  await browser.close();
}
