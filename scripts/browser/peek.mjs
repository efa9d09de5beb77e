import { chromium } from 'playwright-core';
const out = process.argv[2];
const b = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--headless', '--no-sandbox', '--disable-gpu'] });
for (const [w, scheme] of [[1600, 'light'], [360, 'light'], [1600, 'dark']]) {
  const c = await b.newContext({ viewport: { width: w, height: 900 }, colorScheme: scheme });
  const p = await c.newPage();
  p.on('console', (m) => console.log(w, m.type(), m.text()));
  p.on('pageerror', (e) => console.log(w, 'ERR', e.message, e.stack));
  await p.goto('http://127.0.0.1:8123/');
  await p.waitForFunction(() => document.querySelector('#p-state').textContent.startsWith('From 100,000'), null, { timeout: 20000 }).catch((e) => console.log('late', e.message));
  await p.waitForTimeout(800);
  await p.screenshot({ path: `${out}/${w}-${scheme}.png` });
  await p.screenshot({ path: `${out}/${w}-${scheme}-full.png`, fullPage: w > 400 });
  console.log(w, await p.evaluate(() => [document.documentElement.scrollWidth, innerWidth, document.querySelector('#p-state').textContent, document.querySelector('#p-note').textContent, document.querySelector('#p-wrong').textContent]));
  await c.close();
}
await b.close();
