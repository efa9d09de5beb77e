// The form: what the site file holds, field by field. Every change is made in the
// text of the site file, by the program; the form shows what stands there.

import { state } from './state.js';

const form = document.getElementById('p-site');
const lists = ['roofs', 'uses'];
let change = () => {};
let shown = {}; // path → what the field was set to

// onChange sets who is told of edits.
export function onChange(f) { change = f; }

function fieldOf(path) {
  return [...form.querySelectorAll('.field')].find((f) => f.dataset.path === path);
}

function control(field) { return field.querySelector('input, select, textarea'); }

// entries makes as many entries of a list as the site has.
function entries(list, count) {
  const box = form.querySelector(`.entries[data-list="${list}"]`);
  const made = document.getElementById('entry-' + list);
  while (box.children.length > count) box.lastElementChild.remove();
  while (box.children.length < count) {
    const n = box.children.length;
    const entry = made.content.cloneNode(true);
    for (const field of entry.querySelectorAll('.field')) {
      field.dataset.path = field.dataset.path.replace('#', n);
      for (const at of field.querySelectorAll('[id], [for], [aria-describedby]')) {
        for (const name of ['id', 'for', 'aria-describedby']) {
          if (at.hasAttribute(name)) at.setAttribute(name, at.getAttribute(name).replace('-N-', `-${n}-`));
        }
      }
    }
    const one = list === 'roofs' ? 'Roof' : 'Use';
    entry.querySelector('legend').textContent = `${one} ${n + 1}`;
    const remove = entry.querySelector('.remove');
    remove.setAttribute('aria-label', `Remove ${one.toLowerCase()} ${n + 1}`);
    remove.addEventListener('click', () => change([{ path: `${list}.${n}`, text: '' }], `add-${list}`));
    box.append(entry);
  }
  for (const remove of box.querySelectorAll('.remove')) remove.hidden = count < 2;
}

// show shows what a site holds, and what is wrong with it.
export function show(told) {
  for (const list of lists) {
    const count = Math.max(1, ...Object.keys(told.values).filter((p) => p.startsWith(list + '.')).map((p) => 1 + Number(p.split('.')[1])));
    entries(list, count);
  }
  files();
  shown = {};
  for (const field of form.querySelectorAll('.field')) {
    const path = field.dataset.path;
    const at = control(field);
    let text = told.values[path]?.shown ?? '';
    if (path.startsWith('--')) text = state.flags[path.slice(2)] ?? '';
    if (at.tagName === 'SELECT' && text && ![...at.options].some((o) => o.value === text)) {
      at.add(new Option(text, text)); // what was written in another form
    }
    shown[path] = text;
    if (at !== document.activeElement || at.tagName === 'SELECT') at.value = text;
    if (field.classList.contains('long')) at.rows = Math.min(8, 1 + Math.ceil(text.length / 38));
  }
  wrong(told.problems);
  for (const details of form.querySelectorAll('details')) { // what is given is not hidden
    if (details.closest('.many, #p-text') || details.id) continue;
    if ([...details.querySelectorAll('.field')].some((f) => shown[f.dataset.path] || f.classList.contains('is-wrong'))) details.open ||= !details.dataset.seen;
    details.dataset.seen = '1';
  }
  const text = document.getElementById('p-yaml');
  if (text !== document.activeElement) text.value = state.site;
}

// wrong says at the fields what is wrong, and above all of them what has no field.
export function wrong(problems) {
  for (const field of form.querySelectorAll('.field.is-wrong')) {
    field.classList.remove('is-wrong');
    control(field).removeAttribute('aria-invalid');
    field.querySelector('.wrong').hidden = true;
  }
  const rest = [];
  for (const p of problems) {
    const field = p.path && fieldOf(p.path);
    const text = p.text + (p.hint ? '. ' + p.hint[0].toUpperCase() + p.hint.slice(1) : '') + '.';
    if (!field) {
      rest.push(p.line ? `Line ${p.line} of the site file: ${text}` : text);
      continue;
    }
    field.classList.add('is-wrong');
    const at = control(field);
    at.setAttribute('aria-invalid', 'true');
    const words = field.querySelector('.wrong');
    words.id ||= at.id + '-wrong';
    if (!at.getAttribute('aria-describedby')?.includes(words.id)) {
      at.setAttribute('aria-describedby', `${at.getAttribute('aria-describedby') ?? ''} ${words.id}`.trim());
    }
    words.textContent = text;
    words.hidden = false;
    for (let d = field.closest('details'); d; d = d.parentElement.closest('details')) d.open = true;
  }
  document.getElementById('p-note').textContent = rest.join(' ');
}

// files lists the records of the page where one is chosen.
function files() {
  const at = document.getElementById('p-record');
  const names = Object.keys(state.files).sort();
  if ([...at.options].map((o) => o.value).join('\n') !== ['', ...names].join('\n')) {
    at.replaceChildren(new Option('none', ''), ...names.map((n) => new Option(n, n)));
  }
}

// edited makes an edit of a field that changed.
function edited(at) {
  const path = at.closest('.field')?.dataset.path;
  const text = at.value.trim();
  if (path === undefined || text === (shown[path] ?? '')) return;
  shown[path] = text;
  if (path.startsWith('--')) {
    state.flags[path.slice(2)] = text;
    change([]);
    return;
  }
  change([{ path, text }]);
}

form.addEventListener('change', (event) => edited(event.target));
form.addEventListener('keydown', (event) => {
  if (event.key === 'Enter' && event.target.tagName === 'INPUT') edited(event.target);
});
form.addEventListener('submit', (event) => event.preventDefault());
for (const add of form.querySelectorAll('.add')) {
  add.addEventListener('click', () => {
    const list = add.dataset.list;
    const n = form.querySelector(`.entries[data-list="${list}"]`).children.length;
    change([list === 'roofs' ? { path: `roofs.${n}.area`, text: state.flags.units === 'us' ? '500 sqft' : '50 m2' }
      : { path: `uses.${n}.daily`, text: state.flags.units === 'us' ? '10 gal' : '50 L' }], `f-${list}-${n}-name`);
  });
}
