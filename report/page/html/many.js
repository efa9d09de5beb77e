// Several records side by side.

import { lines, question, state, Refused } from './state.js';
import { place, refused } from './curve.js';

const id = (name) => document.getElementById(name);
let running;

// files lists the records that can be chosen.
export function files() {
  const box = id('p-many-files');
  const chosen = new Set([...box.querySelectorAll('input:checked')].map((x) => x.value));
  box.replaceChildren(...Object.keys(state.files).sort().map((name) => {
    const label = document.createElement('label');
    const at = document.createElement('input');
    at.type = 'checkbox';
    at.value = name;
    at.checked = chosen.has(name);
    label.append(at, ' ' + name);
    const gone = document.createElement('button');
    gone.type = 'button';
    gone.className = 'copy';
    gone.textContent = 'Remove';
    gone.setAttribute('aria-label', `Remove ${name}`);
    gone.addEventListener('click', () => {
      delete state.files[name];
      document.dispatchEvent(new CustomEvent('taken', { detail: name }));
    });
    const both = document.createElement('span');
    both.append(label, ' ', gone);
    return both;
  }));
  count();
}

function chosen() { return [...id('p-many-files').querySelectorAll('input:checked')].map((x) => x.value); }

function count() {
  const n = chosen().length;
  id('p-many-go').disabled = n < 2 || n > 10;
  id('p-many-state').textContent = Object.keys(state.files).length < 2 ? 'Drop a second record onto the page first.' : n > 10 ? 'Ten are the most.' : '';
}

id('p-many-files').addEventListener('change', count);
id('p-many-go').addEventListener('click', async () => {
  running?.abort();
  running = new AbortController();
  const mine = running;
  const wrong = id('p-many-wrong');
  refused(null, wrong);
  id('p-many-state').textContent = 'Working …';
  try {
    const got = await lines('/compare', question({ records: chosen() }), mine.signal, (done, all) => {
      id('p-many-state').textContent = `Record ${done + 1} of ${all} …`;
    });
    if (mine !== running) return;
    place(id('p-many-sheet'), got.html, 'many-');
    id('p-many-command').textContent = got.command;
    id('p-many-does').hidden = false;
    id('p-many-state').textContent = '';
  } catch (failed) {
    if (mine !== running || failed.name === 'AbortError') return;
    id('p-many-state').textContent = '';
    if (!(failed instanceof Refused)) throw failed;
    refused(failed.problem, wrong);
  }
});
