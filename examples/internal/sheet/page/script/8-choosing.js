// The list of passes and runs, the legend, the way from a finding to its place; and the start.

const choices = [];
function button(kind, target, html) {
  const b = document.createElement('button');
  b.type = 'button'; b.className = kind; b.append(...html); b.onclick = () => choose(target.pass, target.run);
  choices.push({ b, ...target }); $('picker').append(b);
  return b;
}
function words(main, small) { const s = document.createElement('span'); s.textContent = main; if (small) { const e = document.createElement('small'); e.textContent = small; s.append(e); } return s; }
function time(text) { const s = document.createElement('span'); s.className = 't'; s.textContent = text; return s; }
function swatch(l) {
  const c = document.createElement('canvas'), g = c.getContext('2d'), q = 2;
  c.width = 34 * q; c.height = 24 * q; g.scale(q, q);
  if (l && l.kind === 'hits') { const ink = inkOf(l); g.fillStyle = g.strokeStyle = ink; g.globalAlpha = .55; g.beginPath(); g.arc(17, 12, 4, 0, 7); g.fill(); g.globalAlpha = 1; g.lineWidth = 1.6; g.beginPath(); sign(g, l.style, 17, 12, 8); g.stroke(); }
  else if (l) { g.strokeStyle = g.fillStyle = PATH; g.globalAlpha = .3; g.lineWidth = 9; g.lineCap = 'round'; g.beginPath(); g.moveTo(7, 12); g.lineTo(27, 12); g.stroke(); g.globalAlpha = 1; g.lineWidth = 1; g.stroke(); g.beginPath(); g.moveTo(22, 12); g.lineTo(13, 8); g.lineTo(13, 16); g.fill(); }
  return c;
}
button('pass whole', { pass: null, run: 0 }, [words('The whole panel'), time('')]);
let setUp = 0;
for (const p of scene.passes) {
  if (p.setUp !== setUp) { const h = document.createElement('p'); h.className = 'of'; h.textContent = 'Set-up ' + (setUp = p.setUp) + ', ' + p.stage; $('picker').append(h); }
  button('pass', { pass: p, run: 0 }, [words(p.name, p.op === p.name ? '' : p.op), time(p.clock)]);
  for (const r of p.runs) {
    const b = button('run', { pass: p, run: r.run }, [swatch(runLayers(p, r.run)[0]), words(r.tool), words(r.size), words(r.work), time(r.hits ? String(r.hits) : plural(r.paths, 'path'))]);
    b.children[2].className = 'mm'; b.title = r.tool + ', ' + r.text;
  }
}
$('picker').addEventListener('keydown', e => {
  const by = { ArrowDown: 1, ArrowUp: -1 }[e.key], i = choices.findIndex(c => c.b === document.activeElement);
  if (by && i >= 0) { e.preventDefault(); choices[(i + by + choices.length) % choices.length].b.focus(); }
});
const seen = kind => scene.layers.some(l => l.kind === kind && l.count);
for (const [kind, text] of [['board', 'board as wanted'], ['path', 'cutter: width and direction'], ['tab', 'tab'], ['perforation', 'perforation'], ['score', 'score line'], ['keepout', 'keep out'], ['pin', 'pin'], ['finding', 'finding, by its number']]) {
  if (!seen(kind)) continue;
  const li = document.createElement('li'), i = document.createElement('i');
  i.className = 'k-' + kind; li.append(i, text); $('legend').append(li);
}
const keys = document.createElement('li');
keys.className = 'keys';
for (const [k, t] of [['arrows', 'move'], ['+ −', 'size'], ['0', 'all'], ['space', 'play'], [', .', 'step'], ['n p', 'run']]) { const e = document.createElement('kbd'); e.textContent = k; keys.append(e, ' ' + t + '  '); }
$('legend').append(keys);

function choose(p, r) {
  stop(); pass = p; run = r;
  for (const c of choices) c.b.setAttribute('aria-pressed', String(c.pass === p && c.run === r));
  unpoint(); build(); tell(); redraw();
}
function other(by) {
  const i = choices.findIndex(c => c.pass === pass && c.run === run), c = choices[(i + by + choices.length) % choices.length];
  choose(c.pass, c.run); c.b.scrollIntoView({ block: 'nearest' });
}
for (const b of document.querySelectorAll('.goto')) b.onclick = () => {
  choose(null, 0); scale = Math.max(Math.min(wideness / W, highness / H) * 6, 4);
  left = wideness / 2 - b.dataset.x / 1000 * scale; top = highness / 2 - (H - b.dataset.y / 1000) * scale;
  redraw(); glass.scrollIntoView({ block: 'center' }); glass.focus({ preventScroll: true });
};

new ResizeObserver(size).observe(glass);
size();
choose(scene.passes[0] || null, 0);
