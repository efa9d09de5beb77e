'use strict';
// Reads values off the figures: by pointer, by finger, or by the arrow keys.
function readable(data) {
  const all = JSON.parse(data.textContent);
  const figure = data.closest('figure');
  const drawing = figure.querySelector('.drawing');
  const reader = document.createElement('div');
  const line = document.createElement('i');
  const dot = document.createElement('i');
  const words = document.createElement('p');
  const last = all.text.length - 1;
  let now = -1;
  reader.className = 'reader';
  reader.tabIndex = 0;
  reader.setAttribute('role', 'slider');
  reader.setAttribute('aria-label', 'Values of: ' + figure.querySelector('figcaption b').textContent);
  reader.setAttribute('aria-valuemin', 0);
  reader.setAttribute('aria-valuemax', last);
  line.className = 'line';
  dot.className = 'dot';
  words.className = 'reading';
  reader.append(line, dot);
  drawing.append(reader);
  drawing.after(words);

  const places = () => figure.querySelector('.narrow').offsetParent ? all.narrow : all.wide;
  const rest = matchMedia('(hover: hover)').matches
    ? 'Point at the figure, or use the arrow keys, to read its values.'
    : 'Touch the figure to read its values.';
  function show(i) {
    now = i;
    const on = i >= 0;
    reader.classList.toggle('on', on);
    words.classList.toggle('on', on);
    words.textContent = on ? all.text[i] : rest;
    figure.dispatchEvent(new CustomEvent('reading', { detail: i, bubbles: true }));
    reader.setAttribute('aria-valuenow', Math.max(0, i));
    reader.setAttribute('aria-valuetext', on ? all.text[i] : rest);
    if (!on) return;
    const at = places()[i];
    line.style.left = dot.style.left = 100 * at[0] + '%';
    dot.style.top = 100 * at[1] + '%';
  }
  function nearest(event) {
    const box = reader.getBoundingClientRect();
    const x = (event.clientX - box.left) / box.width;
    let best = 0;
    places().forEach((at, i, list) => {
      if (Math.abs(at[0] - x) < Math.abs(list[best][0] - x)) best = i;
    });
    show(best);
  }
  reader.addEventListener('pointermove', nearest);
  reader.addEventListener('pointerdown', nearest);
  reader.addEventListener('pointerleave', (event) => { if (event.pointerType === 'mouse') show(-1); });
  reader.addEventListener('focus', () => { if (now < 0) show(0); });
  reader.addEventListener('blur', () => show(-1));
  reader.addEventListener('keydown', (event) => {
    const to = {
      ArrowLeft: now - 1, ArrowDown: now - 1, ArrowRight: now + 1, ArrowUp: now + 1,
      PageDown: now - 10, PageUp: now + 10, Home: 0, End: last,
    }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    show(Math.min(last, Math.max(0, to)));
  });
  show(-1);
}
for (const data of document.querySelectorAll('script.readings')) readable(data);
