// What the page holds: the text of the site file, the flags, and which records go by
// which names. The records' bytes lie in the browser's own database, so that nothing
// is lost when the page or the program ends.

export const state = {
  site: '',
  files: {}, // name → SHA-256
  flags: {}, // name → value
  kept: null, // a version to compare with
};

const here = 'tankodds-now'; // of this tab
const last = 'tankodds-last'; // of the tab that was used last

// flags as they are typed.
export function flags() {
  return Object.entries(state.flags).filter(([, v]) => v !== '').map(([name, v]) => `--${name}=${v}`);
}

export function question(more) {
  return { site: state.site, flags: flags(), files: state.files, ...more };
}

// saved returns what was held before: of this tab, or else of the last.
export function saved() {
  for (const [box, key] of [[sessionStorage, here], [localStorage, last]]) {
    try {
      const found = JSON.parse(box.getItem(key));
      if (found && typeof found.site === 'string') return found;
    } catch { /* not ours, or spoilt: as if there were none */ }
  }
  return null;
}

export function take(held) {
  state.site = held.site;
  state.files = { ...held.files };
  state.flags = { ...held.flags };
  state.kept = held.kept ?? null;
}

// save keeps what is held; with step it is a place to go back to.
export function save(step) {
  const held = { site: state.site, files: state.files, flags: state.flags, kept: state.kept };
  for (const [box, key] of [[sessionStorage, here], [localStorage, last]]) {
    try { box.setItem(key, JSON.stringify(held)); } catch { /* no room: the page works on without */ }
  }
  try {
    if (step) history.pushState(held, '');
    else history.replaceState(held, '');
  } catch { /* too large for a step */ }
}

// The database of records, by digest.
let opened;
function database() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open('tankodds', 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore('records');
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

async function records(mode, work) {
  const db = await database();
  return new Promise((resolve, reject) => {
    const asked = work(db.transaction('records', mode).objectStore('records'));
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
}

async function hold(sum, bytes) {
  try { await records('readwrite', (store) => store.put(bytes, sum)); } catch { /* it can be dropped again */ }
}

export class Refused extends Error {
  constructor(problem) {
    super(problem.text);
    this.problem = problem;
  }
}

async function send(path, init) {
  let reply;
  try {
    reply = await fetch(path, init);
  } catch (wrong) {
    if (wrong.name === 'AbortError') throw wrong;
    throw new Refused({ text: 'tankodds does not answer', hint: 'it was stopped; start it again with tankodds page, and go on here' });
  }
  if (reply.ok) return reply;
  let told;
  try { told = await reply.json(); } catch { /* not one of ours */ }
  throw new Refused(told?.problem ?? { text: `tankodds answered ${reply.status}` });
}

// upload hands a record over and returns its digest.
async function upload(name, bytes) {
  const reply = await send('/record?name=' + encodeURIComponent(name), { method: 'POST', body: bytes });
  return (await reply.json()).sha256;
}

// again hands over the records that are no longer held there.
async function again(sums) {
  for (const sum of sums) {
    const bytes = await records('readonly', (store) => store.get(sum)).catch(() => undefined);
    const name = Object.keys(state.files).find((n) => state.files[n] === sum) ?? 'record';
    if (!bytes) throw new Refused({ text: `${name} is no longer here`, hint: 'drop it onto the page again' });
    await upload(name, bytes);
  }
}

// asked posts a question; records that are missed are handed over and it is asked
// once more.
async function asked(path, body, signal) {
  const init = { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body), signal };
  try {
    return await send(path, init);
  } catch (wrong) {
    if (!wrong.problem?.need) throw wrong;
    await again(wrong.problem.need);
    return send(path, init);
  }
}

export async function post(path, body, signal) {
  return (await asked(path, body, signal)).json();
}

// lines posts a question whose answer comes line by line; show is told how far it is.
export async function lines(path, body, signal, show) {
  const reader = (await asked(path, body, signal)).body.getReader();
  const decoder = new TextDecoder();
  let rest = '';
  for (;;) {
    const { value, done } = await reader.read();
    rest += decoder.decode(value, { stream: !done });
    const whole = rest.split('\n');
    rest = whole.pop();
    for (const line of whole) {
      const told = JSON.parse(line);
      if (told.problem?.need) {
        await again(told.problem.need);
        return lines(path, body, signal, show);
      }
      if (told.problem) throw new Refused(told.problem);
      if (told.answer) return told.answer;
      show?.(told.done ?? 0, told.all ?? 1);
    }
    if (done) throw new Refused({ text: 'tankodds stopped in the middle of the answer', hint: 'ask again' });
  }
}

const mostFile = 64 * 2 ** 20; // as the program says

// hand takes a file that was dropped: its name, as the site file will call it.
export async function hand(file) {
  // The program would refuse it before it has read it, and the browser would then
  // tell of a broken connection.
  if (file.size > mostFile) throw new Refused({ text: `${file.name} is longer than 64 MB`, hint: 'drop a shorter part of the record' });
  const bytes = await file.arrayBuffer();
  const sum = await upload(file.name, bytes);
  await hold(sum, bytes);
  let name = file.name;
  for (let n = 2; state.files[name] && state.files[name] !== sum; n++) {
    const dot = file.name.indexOf('.', 1);
    name = dot < 0 ? `${file.name}-${n}` : `${file.name.slice(0, dot)}-${n}${file.name.slice(dot)}`;
  }
  state.files[name] = sum;
  return name;
}

// holdAll keeps the records that the program brought along.
export async function holdAll(files) {
  for (const [name, sum] of Object.entries(files)) {
    if (await records('readonly', (store) => store.get(sum)).catch(() => undefined)) continue;
    const reply = await send(`/record/${sum}/${encodeURIComponent(name)}`, {});
    await hold(sum, await reply.arrayBuffer());
  }
}
