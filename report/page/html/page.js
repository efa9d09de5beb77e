// Puts the page together: what is typed goes to the program, what it tells is shown.

import { hand, holdAll, post, question, save, saved, state, take, Refused } from './state.js';
import { onChange, show as showForm, wrong } from './form.js';
import { ask, handles, onSite, place, refused, stop } from './curve.js';
import { files as showFiles } from './many.js';

const id = (name) => document.getElementById(name);
let example = {}; // the files that came with the program, where they are invented
let invented = []; // the lines of its site that say whose it is and what things cost

// tell makes edits and shows what stands there then, one after the other: each is made
// in the text that the one before it left.
let told = Promise.resolve();
function tell(what) {
  told = told.then(() => telling(what), () => telling(what));
  return told;
}

async function telling({ text, edits = [], moved = {}, step = true, anew = false, focus = '' } = {}) {
  const before = state.site;
  if (text !== undefined) state.site = text;
  const record = anew || edits.length === 0 || edits.some((e) => e.path.startsWith('rain.'));
  let out;
  try {
    out = await post('/site', question({ edits, record, ...moved }));
  } catch (failed) {
    if (!(failed instanceof Refused)) throw failed;
    state.site = before; // a text that cannot be read takes no place
    wrong([failed.problem]);
    if (!step) save(false);
    stop();
    return;
  }
  state.site = out.site;
  save(step);
  showForm(out);
  showFiles();
  handles(out, anew);
  const whole = Object.keys(state.files).every((name) => name in example);
  id('p-example').hidden = whole ? !invented.length : !invented.some((line) => state.site.includes(line));
  id('p-example-whole').hidden = !whole;
  id('p-example-left').hidden = whole;
  for (const at of document.getElementsByName('units')) at.checked = at.value === out.units;
  if (record) showRecord(out.record);
  if (focus) id(focus)?.focus();
  if (out.problems.length > 0 || out.record?.problem) stop();
  else ask();
}

// showRecord shows what the record is, or why it cannot be read.
function showRecord(told) {
  refused(told.problem, id('p-record-wrong'));
  id('p-record-more').hidden = !told.html;
  id('p-record-command').textContent = told.command;
  place(id('p-record-brief'), told.brief, 'brief-');
  place(id('p-record-sheet'), told.html, 'record-');
  if (told.problem?.path) wrong([told.problem]);
}

// dropped takes files: site files are opened, all others are records.
async function dropped(list) {
  let record = '';
  try {
    for (const file of list) {
      if (/\.ya?ml$/i.test(file.name)) {
        await tell({ text: await file.text(), anew: true });
        continue;
      }
      record = await hand(file);
    }
  } catch (failed) {
    if (!(failed instanceof Refused)) throw failed;
    refused(failed.problem, id('p-record-wrong'));
    return;
  }
  if (record) await tell({ edits: [{ path: 'rain.file', text: list.length === 1 || !state.site.includes('file:') ? record : (saidRecord() || record) }] });
}

// saidRecord is the record that the form names, where it is among those of the page.
function saidRecord() {
  const name = id('p-record').value;
  return state.files[name] ? name : '';
}

document.addEventListener('taken', (event) => {
  const used = id('p-record').value === event.detail;
  tell({ edits: used ? [{ path: 'rain.file', text: '' }] : [], step: used });
});

// A site of one's own begins with its rain, a roof and a use.
id('p-own').addEventListener('click', () => {
  const us = document.querySelector('[name=units][value=us]').checked;
  tell({
    text: `rain:\n  file: ${JSON.stringify(id('p-record').value)}\nroofs:\n  - area: ${us ? '1500 sqft' : '140 m2'}\nuses:\n  - daily: ${us ? '50 gal' : '200 L'}\n`,
    anew: true,
  });
});

onChange((edits, focus) => tell({ edits, focus }));
onSite((moved) => tell({ moved }));

id('p-files').addEventListener('change', (event) => {
  dropped([...event.target.files]);
  event.target.value = '';
});
const drop = id('p-drop');
for (const name of ['dragover', 'drop', 'dragleave']) {
  document.addEventListener(name, (event) => {
    if (!event.dataTransfer) return;
    event.preventDefault();
    drop.classList.toggle('over', name === 'dragover');
    if (name === 'drop') dropped([...event.dataTransfer.files]);
  });
}

id('p-open').addEventListener('click', () => {
  const pick = document.createElement('input');
  pick.type = 'file';
  pick.accept = '.yaml,.yml';
  pick.id = 'p-opening';
  pick.addEventListener('change', () => dropped([...pick.files]));
  pick.click();
});

id('p-save').addEventListener('click', () => {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([state.site], { type: 'application/yaml' }));
  link.download = 'site.yaml';
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
});

id('p-anew').addEventListener('click', () => begin(true));

for (const at of document.getElementsByName('units')) {
  at.addEventListener('change', () => {
    state.flags.units = at.value;
    tell({});
  });
}

id('p-yaml').addEventListener('change', (event) => {
  tell({ text: event.target.value, anew: true });
});

for (const copy of document.querySelectorAll('.copy')) {
  copy.addEventListener('click', async () => {
    const text = id(copy.dataset.of).textContent;
    try {
      await navigator.clipboard.writeText(text);
      copy.textContent = 'Copied';
    } catch {
      getSelection().selectAllChildren(id(copy.dataset.of));
      copy.textContent = 'Selected';
    }
    setTimeout(() => { copy.textContent = 'Copy'; }, 2000);
  });
}

addEventListener('popstate', (event) => {
  if (!event.state?.site) return;
  take(event.state);
  tell({ step: false, anew: true });
});

// begin takes up what was held, or the program's own example.
async function begin(anew) {
  const before = anew ? null : saved();
  try {
    const start = await (await fetch('/start')).json();
    if (start.invented) {
      example = start.files;
      invented = start.site.split('\n').map((line) => line.trim()).filter((line) => /^(- )?(name|client|prices|water_price):/.test(line));
    }
    if (before) {
      take(before);
    } else {
      take({ site: start.site, files: start.files, flags: start.units ? { units: start.units } : {} });
      await holdAll(start.files);
    }
  } catch (failed) {
    refused(failed.problem ?? { text: 'tankodds does not answer' });
    return;
  }
  await tell({ step: anew, anew: true });
}

begin(new URLSearchParams(location.search).has('anew'));
