// The answer: a curve at once, of few years, then the whole sheet; a handle that
// moves shows the curve anew. What comes late never takes the place of what is newer.

import { lines, post, question, save, state, Refused } from './state.js';

const id = (name) => document.getElementById(name);
const sheet = id('p-sheet');
const panel = id('p-size');
const keep = id('p-keep');
const beside = id('p-versions');
let newest = 0; // number of the question asked last
let running; // what stops it
let answer = null; // shown
let site = null; // what the program told of the site
let base = null; // where the handles are in their middle
let chosen = null; // size looked at, L
let told = () => {};

// onSite sets who is told when a handle has changed the site.
export function onSite(f) { told = f; }

// adopt makes elements of a sheet's text. prefix keeps the names of one sheet from
// those of another.
export function adopt(html, prefix) {
  const made = document.createElement('template');
  made.innerHTML = html;
  const root = made.content;
  if (prefix) {
    for (const at of root.querySelectorAll('[id]')) at.id = prefix + at.id;
    for (const name of ['aria-labelledby', 'aria-describedby']) {
      for (const at of root.querySelectorAll(`[${name}]`)) {
        at.setAttribute(name, at.getAttribute(name).split(' ').map((x) => prefix + x).join(' '));
      }
    }
    for (const at of root.querySelectorAll('svg *')) {
      for (const a of [...at.attributes]) {
        if (a.value.includes('#')) a.value = a.value.replace(/url\(#/g, `url(#${prefix}`).replace(/^#/, `#${prefix}`);
      }
    }
  }
  const data = [...root.querySelectorAll('script.readings')];
  return { root, ready: () => data.forEach(window.readable) };
}

// place puts a sheet into a box.
export function place(box, html, prefix) {
  const { root, ready } = adopt(html, prefix);
  box.replaceChildren(root);
  ready();
}

function status(text, percent) {
  id('p-state').textContent = text;
  const bar = id('p-progress');
  bar.hidden = percent === undefined;
  if (percent !== undefined) bar.value = percent;
}

export function refused(problem, at = id('p-wrong')) {
  at.hidden = !problem;
  at.textContent = problem ? [problem.file && problem.line ? `${problem.file}, line ${problem.line}` : problem.file, problem.text].filter(Boolean).join(': ')
    + '.' + (problem.hint ? ` ${problem.hint[0].toUpperCase()}${problem.hint.slice(1)}.` : '') : '';
}

const thousands = (n) => n.toLocaleString('en-US');

// show shows an answer, whole or of few years.
function show(a, quick) {
  const before = chosen;
  for (const at of [panel, keep, beside]) at.remove();
  const { root, ready } = adopt(a.html);
  if (quick && sheet.querySelector('#answer')) {
    sheet.querySelector('#answer').replaceWith(root.querySelector('#answer'));
    const head = sheet.querySelector('header');
    if (head) head.replaceWith(root.querySelector('header'));
  } else {
    sheet.replaceChildren(root);
  }
  sheet.classList.toggle('old', quick);
  sheet.classList.remove('stopped');
  ready();
  answer = a;
  const figure = sheet.querySelector('#fig-reliability');
  (figure ?? sheet.querySelector('#answer')).after(panel, keep, beside);
  const key = sheet.querySelector('#answer .answer strong')?.textContent;
  id('p-jump').textContent = key ? key[0].toUpperCase() + key.slice(1) : 'The answer';
  id('p-jump').hidden = false;
  panel.hidden = a.sizes.length === 0;
  keep.hidden = quick;
  if (!quick) {
    id('p-command').textContent = a.command;
    id('p-downloads').replaceChildren(...a.files.map((name) => {
      const link = document.createElement('a');
      link.href = `/answer/${a.key}/${name}`;
      link.download = name;
      link.textContent = name;
      return link;
    }));
    const names = (site?.records ?? []).map((name) => {
      const link = document.createElement('a');
      link.href = `/record/${state.files[name]}/${encodeURIComponent(name)}`;
      link.download = name;
      link.textContent = name;
      return link;
    });
    id('p-records').replaceChildren(...names.flatMap((link, i) => (i ? [', ', link] : [link])));
  }
  look(before ?? a.tank_l, !quick);
}

// look shows what the size nearest to one does.
function look(tank, year) {
  if (!answer || answer.sizes.length === 0) return;
  let at = 0;
  answer.sizes.forEach((s, i) => {
    if (Math.abs(s.tank_l - tank) < Math.abs(answer.sizes[at].tank_l - tank)) at = i;
  });
  const size = answer.sizes[at];
  id('p-size-name').textContent = size.name;
  id('p-size-text').replaceChildren(...size.text.map((text) => {
    const p = document.createElement('p');
    p.textContent = text;
    return p;
  }));
  id('p-smaller').disabled = at === 0;
  id('p-larger').disabled = at === answer.sizes.length - 1;
  id('p-smaller').onclick = () => pick(answer.sizes[at - 1].tank_l);
  id('p-larger').onclick = () => pick(answer.sizes[at + 1].tank_l);
  if (year) yearSoon(size.tank_l);
}

function pick(tank) {
  chosen = tank;
  look(tank, true);
}

// yearSoon shows the year of a size once nobody moves on.
let yearAsked;
let yearWaits;
function yearSoon(tank) {
  clearTimeout(yearWaits);
  if (!answer?.key || !id('p-year').open) return;
  yearWaits = setTimeout(async () => {
    yearAsked?.abort();
    const of = answer?.key; // by now another answer may be there
    if (!of) return;
    yearAsked = new AbortController();
    try {
      const got = await post('/year', { key: of, tank_l: tank }, yearAsked.signal);
      if (answer?.key === of) place(id('p-year-sheet'), got.html, 'year-');
    } catch (wrong) {
      if (wrong.name !== 'AbortError') id('p-year-sheet').textContent = wrong.message;
    }
  }, 250);
}
id('p-year').addEventListener('toggle', () => yearSoon(chosen ?? answer?.tank_l));

// A reading of the curve is a size that is looked at.
sheet.addEventListener('reading', (event) => {
  const figure = event.target.closest('#fig-reliability');
  if (!figure || event.detail < 0) return;
  const tanks = JSON.parse(figure.querySelector('script.readings').textContent).tanks;
  if (tanks) pick(tanks[event.detail]);
});

// ask asks for the answer: first of few years, then whole.
export async function ask(moving) {
  const number = ++newest;
  running?.abort();
  running = new AbortController();
  const signal = running.signal;
  const late = () => number !== newest;
  try {
    refused(null);
    if (!moving?.again) {
      const quick = await lines('/answer', question({ quick: true, ...moving }), signal);
      if (late()) return;
      show(quick, true);
      if (moving) return;
      status(`From ${thousands(quick.years)} synthetic years; sharpening …`, 0);
    }
    const whole = await lines('/answer', question(), signal, (done, all) => {
      if (!late()) status('Sharpening …', 100 * done / all);
    });
    if (late()) return;
    show(whole, false);
    status(`From ${thousands(whole.years)} synthetic years.`);
    versions();
  } catch (wrong) {
    if (late() || wrong.name === 'AbortError') return;
    status('No answer.');
    sheet.classList.add('old', 'stopped');
    if (!(wrong instanceof Refused)) throw wrong;
    refused(wrong.problem);
  }
}

// stop marks what is shown as old: the site cannot be answered for as it stands.
export function stop() {
  newest++;
  running?.abort();
  status('No answer yet: see what is marked on the form.');
  sheet.classList.add('old', 'stopped');
}

// handles sets the two handles for a site. Their middle is where the site stood when
// it was opened, their ends a quarter and four times of that.
export function handles(now, anew) {
  site = now;
  id('p-handles').hidden = !(now.roof_m2 > 0 && now.use_l_per_day > 0);
  if (anew || !base) base = { roof: now.roof_m2, use: now.use_l_per_day };
  for (const [name, value] of [['roof', now.roof_m2], ['use', now.use_l_per_day]]) {
    const at = id('h-' + name);
    if (at === moved) continue;
    let way = 100 * Math.log(value / base[name]) / Math.log(4);
    if (!(Math.abs(way) <= 100)) {
      base[name] = value;
      way = 0;
    }
    at.value = Math.round(way);
    said(name, value);
  }
}

function said(name, value) {
  const us = site?.units === 'us';
  const [factor, unit] = name === 'roof' ? (us ? [10.763910417, 'ft²'] : [1, 'm²']) : (us ? [1 / 3.785411784, 'gal a day'] : [1, 'L a day']);
  const text = `${Number((value * factor).toPrecision(3)).toLocaleString('en-US')} ${unit}`;
  id(`h-${name}-is`).textContent = text;
  id('h-' + name).setAttribute('aria-valuetext', text);
}

let moved = null; // the handle that is being moved
let next = null; // where it stands while a question is on its way
let asking = false;

async function follow() {
  if (asking) return;
  asking = true;
  while (next) {
    const to = next;
    next = null;
    await ask(to);
  }
  asking = false;
}

for (const name of ['roof', 'use']) {
  const at = id('h-' + name);
  const value = () => base[name] * 4 ** (at.value / 100);
  at.addEventListener('input', () => {
    if (!base) return;
    moved = at;
    said(name, value());
    next = { [name]: value() };
    follow();
  });
  at.addEventListener('change', async () => {
    if (!base) return;
    next = null;
    moved = null;
    told({ [name]: value() });
  });
}

// keepVersion keeps the site as it is, to be laid beside what it becomes.
id('p-version').addEventListener('click', () => {
  state.kept = { site: state.site, flags: question().flags, files: { ...state.files }, key: answer.key };
  save(false);
  versions();
});

// versions lays the version kept beside what is shown.
async function versions() {
  const box = beside;
  const kept = state.kept;
  box.hidden = !kept;
  if (!kept || !answer?.key) return;
  if (kept.key === answer.key) {
    box.textContent = 'This version is kept. Change the site, and both stand side by side here.';
    return;
  }
  const now = answer.key;
  try {
    let got;
    try {
      got = await post('/difference', { kept: kept.key, now });
    } catch (wrong) {
      if (!(wrong instanceof Refused)) throw wrong;
      const was = await lines('/answer', { site: kept.site, flags: kept.flags, files: kept.files });
      kept.key = was.key;
      got = await post('/difference', { kept: kept.key, now });
    }
    if (answer?.key !== now) return;
    place(box, got.html, 'versions-');
    const drop = document.createElement('button');
    drop.type = 'button';
    drop.textContent = 'Keep no version';
    drop.addEventListener('click', () => {
      state.kept = null;
      save(false);
      box.hidden = true;
    });
    box.append(drop);
  } catch (wrong) {
    box.textContent = wrong.message;
  }
}
id('p-print').addEventListener('click', () => window.print());

// On a narrow window the answer lies far down: a link at the lower edge says it.
new IntersectionObserver(([seen]) => id('p-jump').classList.toggle('seen', seen.isIntersecting)).observe(id('p-answer'));
