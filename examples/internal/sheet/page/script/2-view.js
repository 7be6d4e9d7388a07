// What is chosen, all, a pass, or a run of it, and how it is looked at.

let pass = null, run = 0;
let track = { layer: [], mark: new Int32Array(0), end: new Float64Array(0), timed: true, from: 0, to: 0 };

// A pass may be made in several set-ups; what stands on the panel may belong to one of them.
const of = (l, p) => (!l.pass || l.pass === p.name) && (!l.setUp || l.setUp === p.setUp);
const runLayers = (p, r) => scene.layers.filter(l => l.run && l.pass && of(l, p) && (l.kind === 'hits' || l.kind === 'path') && (!r || l.run === r)).sort((a, b) => a.run - b.run);
const shown = l => !pass || of(l, pass);
const chosen = l => shown(l) && (!pass || !run || !l.run || l.run === run);

// A run lasts until the next one starts, the way back to the change position included; the last one until the pass ends.
function until(p, l) {
  const next = runLayers(p, 0).find(o => o.run > l.run);
  return next ? next.start : Math.max(p.ms, timeOf(l, l.count - 1));
}

// build lines up what is played: every hit or move of the choice with the time at its end.
function build() {
  const list = pass ? runLayers(pass, run) : [];
  const n = list.reduce((s, l) => s + l.count, 0);
  const t = { layers: list, layer: new Uint16Array(n), mark: new Int32Array(n), end: new Float64Array(n), first: [], until: [], whole: '', timed: true, from: 0, to: 0 };
  let k = 0;
  list.forEach((l, j) => { t.first.push(k); for (let i = 0; i < l.count; i++, k++) { t.layer[k] = j; t.mark[k] = i; t.end[k] = timeOf(l, i); } });
  t.timed = n > 0 && t.end[n - 1] > 0;
  if (!t.timed) for (let i = 0; i < n; i++) t.end[i] = 1000 * (i + 1);
  t.from = t.timed && run && list.length ? list[0].start : 0;
  t.until = list.map((l, j) => t.timed ? until(pass, l) : t.end[t.first[j] + l.count - 1]);
  t.to = n ? t.until[list.length - 1] : 0;
  t.whole = !n ? '' : !run ? pass.clock : pass.runs.find(r => r.run === run).clock;
  track = t; trailed = -1;
  clock = t.from;
  const slider = $('time');
  slider.min = t.from; slider.max = t.to || 1; slider.value = clock; slider.disabled = n === 0;
  for (const id of ['play', 'back', 'next']) $(id).disabled = n === 0;
}

// done is the number of hits or moves that are finished at a time.
function done(time) {
  let a = 0, b = track.end.length;
  while (a < b) { const m = (a + b) >> 1; if (track.end[m] <= time) a = m + 1; else b = m; }
  return a;
}

const glass = $('glass'), base = $('base').getContext('2d'), trail = $('trail').getContext('2d'), over = $('over').getContext('2d'), band = $('band').getContext('2d');
const RULER = 22; // css px of the rulers at the left and lower edge
let scale = 1, left = 0, top = 0, wideness = 0, highness = 0, ratio = 1; // css px a mm; px of the panel's left and upper edge
const px = x => left + x * scale, py = y => top + (H - y) * scale;
const mmX = x => (x - left) / scale, mmY = y => H - (y - top) / scale;

function fit() {
  const m = 18, side = RULER + m, foot = RULER + 40; // the foot keeps the scale bar clear
  scale = Math.min((wideness - side - m) / W, (highness - m - foot) / H);
  left = side + (wideness - side - m - W * scale) / 2; top = m + (highness - m - foot - H * scale) / 2;
}
function size() {
  const r = glass.getBoundingClientRect(), first = !wideness, oldW = wideness, oldH = highness;
  ratio = window.devicePixelRatio || 1; wideness = glass.clientWidth; highness = glass.clientHeight;
  if (!wideness || !highness) return;
  stripWide = $('strip').clientWidth; band.canvas.width = Math.round(stripWide * ratio); band.canvas.height = Math.round(52 * ratio);
  for (const c of [base.canvas, trail.canvas, over.canvas]) { c.width = Math.round(wideness * ratio); c.height = Math.round(highness * ratio); }
  if (first) fit(); else { left += (wideness - oldW) / 2; top += (highness - oldH) / 2; }
  redraw();
}
function zoom(f, x, y) {
  const s = Math.min(Math.max(scale * f, 0.2), 400); f = s / scale;
  left = x - (x - left) * f; top = y - (y - top) * f; scale = s;
  unpoint(); moved();
}
let baseDirty = false, overDirty = false, waiting = false, resting = 0;
let drawn = { scale: 1, left: 0, top: 0 }; // the view that the base shows
function redraw() { clearTimeout(resting); resting = 0; baseDirty = overDirty = true; ask(); }
// moved shows the picture as it is, shifted and stretched, while the view moves, and draws it anew at rest.
function moved() { clearTimeout(resting); resting = setTimeout(redraw, 90); overDirty = true; ask(); }
function shift() { // also of the trail, which lies on the base
  const f = scale / drawn.scale;
  base.canvas.style.transform = trail.canvas.style.transform = f === 1 && left === drawn.left && top === drawn.top ? '' : 'translate(' + (left - drawn.left * f) + 'px,' + (top - drawn.top * f) + 'px) scale(' + f + ')';
}
function reover() { overDirty = true; ask(); }
function ask() { if (!waiting) { waiting = true; requestAnimationFrame(frame); } }
