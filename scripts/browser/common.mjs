// What the checks of pages share: the browser, axe-core, and the list of what is wrong.
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { chromium } from 'playwright-core';

export const axe = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

const flags = [
  '--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
  '--disable-background-networking', '--disable-component-update', '--disable-sync',
];

export function launch() {
  return chromium.launch({ executablePath: process.env.CHROMIUM || '/usr/bin/chromium', args: flags });
}

export const wrong = [];
export function fail(text) {
  wrong.push(text);
  console.error('  ' + text);
}

// look checks the page as it now is: no wider than the window, and nothing that
// axe-core objects to.
export async function look(page, name) {
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  if (over > 0) fail(`${name}: the page is ${over} px wider than the window`);
  const { violations } = await page.evaluate(() => axe.run(document, { resultTypes: ['violations'] }));
  for (const v of violations) {
    fail(`${name}: axe ${v.id} (${v.impact}): ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.target.join(' ') + ' ' + (n.any[0]?.message ?? '')).join('; ')}`);
  }
}
