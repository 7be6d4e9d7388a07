(function () {
'use strict';
// The picture of the sheet: moved, enlarged and played in machine time.
// Lengths in the data are micrometres, here millimetres; times milliseconds.

const $ = id => document.getElementById(id);
const scene = JSON.parse($('scene').textContent);
document.documentElement.classList.add('js');

const INK = '#1c2b33', LAMINATE = '#f3ecd9', BOARD = '#dfe7d8', PATH = '#6d4a9c', TAB = '#b4460f', SCORE = '#0a5c8c', ALARM = '#b3123c', FAINT = '#aab0aa';
const ORDER = ['panel', 'board', 'keepout', 'score', 'path', 'tab', 'travel', 'perforation', 'hits', 'pin', 'finding'];
const W = scene.w / 1000, H = scene.h / 1000;

// ---- data -----------------------------------------------------------------

function bytes(text) {
  const raw = atob(text), b = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) b[i] = raw.charCodeAt(i);
  return b;
}
const ints = text => { const v = new DataView(bytes(text).buffer), a = new Int32Array(v.byteLength / 4); for (let i = 0; i < a.length; i++) a[i] = v.getInt32(4 * i, true); return a; };

for (const l of scene.layers) {
  if (l.hits) {
    const h = l.hits;
    h.xy = ints(h.xy);
    if (h.to) h.to = ints(h.to);
    if (h.wide) h.wide = ints(h.wide);
    if (h.ms) h.ms = ints(h.ms);
    if (h.line) h.line = ints(h.line);
    if (h.role) h.role = bytes(h.role);
    l.count = h.n;
  } else {
    l.marks = l.marks || [];
    for (const m of l.marks) { m.p = m.p.map(q => [q[0] / 1000, q[1] / 1000]); if (m.c) m.c = [m.c[0] / 1000, m.c[1] / 1000]; m.w = (m.w || 0) / 1000; }
    l.count = l.marks.length;
  }
  l.start = l.start || 0;
}
const layers = scene.layers.map((l, i) => [l, i]).sort((a, b) => ORDER.indexOf(a[0].kind) - ORDER.indexOf(b[0].kind) || a[1] - b[1]).map(p => p[0]);

const hitX = (h, i) => h.xy[2 * i] / 1000, hitY = (h, i) => h.xy[2 * i + 1] / 1000;
const endX = (h, i) => (h.to || h.xy)[2 * i] / 1000, endY = (h, i) => (h.to || h.xy)[2 * i + 1] / 1000;
const wide = (h, i) => (h.wide ? h.wide[i] : h.width) / 1000;
const role = (h, i) => h.roles[h.role ? h.role[i] : 0];
const timeOf = (l, i) => l.hits ? (l.hits.ms ? l.hits.ms[i] : 0) : (l.marks[i].ms || 0);
const startOf = (l, i) => l.hits ? [hitX(l.hits, i), hitY(l.hits, i)] : l.marks[i].p[0];
const endOf = (l, i) => l.hits ? [endX(l.hits, i), endY(l.hits, i)] : l.marks[i].p[l.marks[i].p.length - 1];

// arc gives centre, radius and angles of a round mark; Y up, against the clock positive.
function arc(m) {
  const [s, e] = m.p, a0 = Math.atan2(s[1] - m.c[1], s[0] - m.c[0]);
  let turn = Math.atan2(e[1] - m.c[1], e[0] - m.c[0]) - a0;
  if (m.cw) { while (turn >= -1e-9) turn -= 2 * Math.PI; } else { while (turn <= 1e-9) turn += 2 * Math.PI; }
  if (s[0] === e[0] && s[1] === e[1]) turn = m.cw ? -2 * Math.PI : 2 * Math.PI;
  return { c: m.c, r: Math.hypot(s[0] - m.c[0], s[1] - m.c[1]), a0, turn };
}
// along gives the place a share of the way along a mark.
function along(m, share) {
  if (m.s === 'arc') { const a = arc(m), t = a.a0 + a.turn * share; return [a.c[0] + a.r * Math.cos(t), a.c[1] + a.r * Math.sin(t)]; }
  let total = 0; const lengths = [];
  for (let i = 1; i < m.p.length; i++) { const d = Math.hypot(m.p[i][0] - m.p[i - 1][0], m.p[i][1] - m.p[i - 1][1]); lengths.push(d); total += d; }
  let left = total * share;
  for (let i = 0; i < lengths.length; i++) {
    if (left <= lengths[i] && lengths[i] > 0) { const f = left / lengths[i]; return [m.p[i][0] + f * (m.p[i + 1][0] - m.p[i][0]), m.p[i][1] + f * (m.p[i + 1][1] - m.p[i][1])]; }
    left -= lengths[i];
  }
  return m.p[m.p.length - 1];
}

// ---- choice: all, a pass, or a run of it ----------------------------------

let pass = null, run = 0;
let track = { layer: [], mark: new Int32Array(0), end: new Float64Array(0), timed: true, from: 0, to: 0 };

const runLayers = (p, r) => scene.layers.filter(l => l.run && l.pass === p.name && (l.kind === 'hits' || l.kind === 'path') && (!r || l.run === r)).sort((a, b) => a.run - b.run);
const shown = l => !pass || !l.pass || l.pass === pass.name;
const chosen = l => !pass || !l.pass || (l.pass === pass.name && (!run || !l.run || l.run === run));

// build lines up what is played: every hit or move of the choice with the time at its end.
function build() {
  const list = pass ? runLayers(pass, run) : [];
  const n = list.reduce((s, l) => s + l.count, 0);
  const t = { layers: list, layer: new Uint16Array(n), mark: new Int32Array(n), end: new Float64Array(n), first: [], timed: true, from: 0, to: 0 };
  let k = 0;
  list.forEach((l, j) => { t.first.push(k); for (let i = 0; i < l.count; i++, k++) { t.layer[k] = j; t.mark[k] = i; t.end[k] = timeOf(l, i); } });
  t.timed = n > 0 && t.end[n - 1] > 0;
  if (!t.timed) for (let i = 0; i < n; i++) t.end[i] = 1000 * (i + 1);
  t.from = t.timed && run && list.length ? list[0].start : 0;
  t.to = n ? t.end[n - 1] : 0;
  if (t.timed && pass && !run) t.to = Math.max(t.to, pass.ms);
  track = t;
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

// ---- view -----------------------------------------------------------------

const glass = $('glass'), base = $('base').getContext('2d'), over = $('over').getContext('2d');
let scale = 1, left = 0, top = 0, wideness = 0, highness = 0, ratio = 1; // css px a mm; px of the panel's left and upper edge
const px = x => left + x * scale, py = y => top + (H - y) * scale;
const mmX = x => (x - left) / scale, mmY = y => H - (y - top) / scale;

function fit() {
  const m = 26, foot = 46; // the foot keeps the scale bar clear
  scale = Math.min((wideness - 2 * m) / W, (highness - m - foot) / H);
  left = (wideness - W * scale) / 2; top = m + (highness - m - foot - H * scale) / 2;
}
function size() {
  const r = glass.getBoundingClientRect(), first = !wideness, oldW = wideness, oldH = highness;
  ratio = window.devicePixelRatio || 1; wideness = glass.clientWidth; highness = glass.clientHeight;
  if (!wideness || !highness) return;
  for (const c of [base.canvas, over.canvas]) { c.width = Math.round(wideness * ratio); c.height = Math.round(highness * ratio); }
  if (first) fit(); else { left += (wideness - oldW) / 2; top += (highness - oldH) / 2; }
  redraw();
}
function zoom(f, x, y) {
  const s = Math.min(Math.max(scale * f, 0.2), 400); f = s / scale;
  left = x - (x - left) * f; top = y - (y - top) * f; scale = s;
  moved();
}
let baseDirty = false, overDirty = false, waiting = false, resting = 0;
let drawn = { scale: 1, left: 0, top: 0 }; // the view that the base shows
function redraw() { clearTimeout(resting); resting = 0; baseDirty = overDirty = true; ask(); }
// moved shows the picture as it is, shifted and stretched, while the view moves, and draws it anew at rest.
function moved() { clearTimeout(resting); resting = setTimeout(redraw, 90); overDirty = true; ask(); }
function shift() {
  const f = scale / drawn.scale;
  base.canvas.style.transform = f === 1 && left === drawn.left && top === drawn.top ? '' : 'translate(' + (left - drawn.left * f) + 'px,' + (top - drawn.top * f) + 'px) scale(' + f + ')';
}
function reover() { overDirty = true; ask(); }
function ask() { if (!waiting) { waiting = true; requestAnimationFrame(frame); } }

// ---- drawing --------------------------------------------------------------

function trace(c, m) {
  switch (m.s) {
  case 'circle': case 'pin': case 'peg': c.moveTo(px(m.p[0][0]) + m.w / 2 * scale, py(m.p[0][1])); c.arc(px(m.p[0][0]), py(m.p[0][1]), m.w / 2 * scale, 0, 7); break;
  case 'arc': { const a = arc(m); c.moveTo(px(m.p[0][0]), py(m.p[0][1])); c.arc(px(a.c[0]), py(a.c[1]), a.r * scale, -a.a0, -(a.a0 + a.turn), a.turn > 0); break; }
  case 'box': c.rect(px(m.p[0][0]), py(m.p[0][1]), (m.p[1][0] - m.p[0][0]) * scale, (m.p[0][1] - m.p[1][1]) * scale); break;
  case 'cross': { const r = (m.w || 4) / 2 * scale, x = px(m.p[0][0]), y = py(m.p[0][1]); c.moveTo(x - r, y); c.lineTo(x + r, y); c.moveTo(x, y - r); c.lineTo(x, y + r); break; }
  case 'line': case 'slot': c.moveTo(px(m.p[0][0]), py(m.p[0][1])); for (let i = 1; i < m.p.length; i++) c.lineTo(px(m.p[i][0]), py(m.p[i][1])); break;
  }
}
// chain traces marks that follow one another as one line, so that fills and joints come out whole.
function chain(c, marks) {
  let at = null;
  for (const m of marks) {
    if ((m.s === 'line' || m.s === 'arc') && at && at[0] === m.p[0][0] && at[1] === m.p[0][1]) {
      if (m.s === 'arc') { const a = arc(m); c.arc(px(a.c[0]), py(a.c[1]), a.r * scale, -a.a0, -(a.a0 + a.turn), a.turn > 0); }
      else for (let i = 1; i < m.p.length; i++) c.lineTo(px(m.p[i][0]), py(m.p[i][1]));
    } else trace(c, m);
    at = m.p[m.p.length - 1];
  }
}
function sign(c, style, x, y, r) {
  for (const s of scene.styles[(style - 1) % scene.styles.length].sign) {
    s.p.forEach((q, i) => { const a = x + q[0] * r / 10, b = y + q[1] * r / 10; if (i) c.lineTo(a, b); else c.moveTo(a, b); });
    if (s.c) c.closePath();
  }
}
const inkOf = l => scene.styles[((l.style || 1) - 1) % scene.styles.length].ink;
const inView = (x, y, m) => x > -m && y > -m && x < wideness + m && y < highness + m;

// stamp paints one hit, disc and symbol, to be copied to many places: much
// faster than to draw thousands of them.
function stamp(l, faint, r, signR) {
  const half = Math.ceil(Math.max(r, signR * 1.15) + 2), c = document.createElement('canvas'), g = c.getContext('2d');
  c.width = c.height = Math.ceil(2 * half * ratio); g.scale(ratio, ratio);
  g.fillStyle = g.strokeStyle = faint ? FAINT : inkOf(l);
  g.globalAlpha = faint ? .7 : .55; g.beginPath(); g.arc(half, half, r, 0, 7); g.fill();
  g.globalAlpha = 1;
  if (signR) { g.lineWidth = signWidth(signR); g.beginPath(); sign(g, l.style, half, half, signR); g.stroke(); }
  return { c, half, side: c.width / ratio };
}
const signWidth = r => Math.max(1, Math.min(r / 5, 2));

function drawHits(c, l, faint) {
  const h = l.hits;
  let signR = Math.max(h.width / 1000 * .75 * scale, Math.min(Math.max(W, H) / 450 * scale, 8), h.n < 700 ? 3.4 : h.n < 3000 ? 2.4 : 0);
  if (faint || signR < 2.2 || l.kind !== 'hits') signR = 0;
  const least = faint ? .7 : .9, r0 = Math.max(h.width / 2000 * scale, least);
  const stamps = h.wide || r0 > 30 ? null : [stamp(l, faint, r0, 0), stamp(l, faint, r0, signR)];
  c.fillStyle = c.strokeStyle = faint ? FAINT : inkOf(l); c.lineWidth = signWidth(signR);
  for (let i = 0; i < h.n; i++) {
    const x = px(hitX(h, i)), y = py(hitY(h, i)), k = role(h, i), signed = signR && (!k || k === 'finish');
    const r = h.wide ? Math.max(wide(h, i) / 2 * scale, least) : r0;
    const long = h.to && (h.xy[2 * i] !== h.to[2 * i] || h.xy[2 * i + 1] !== h.to[2 * i + 1]);
    const u = long ? px(endX(h, i)) : x, v = long ? py(endY(h, i)) : y;
    if (!inView((x + u) / 2, (y + v) / 2, r + signR + Math.hypot(u - x, v - y))) continue;
    if (stamps && !long) { const s = stamps[signed ? 1 : 0]; c.drawImage(s.c, x - s.half, y - s.half, s.side, s.side); continue; }
    const a = Math.atan2(v - y, u - x);
    c.globalAlpha = faint ? .7 : .55; c.beginPath(); c.arc(x, y, r, a + Math.PI / 2, a - Math.PI / 2); c.arc(u, v, r, a - Math.PI / 2, a + Math.PI / 2); c.fill();
    c.globalAlpha = 1;
    if (signed) { c.beginPath(); sign(c, l.style, (x + u) / 2, (y + v) / 2, signR); c.stroke(); }
  }
}
function arrows(c, marks, ink) {
  c.fillStyle = ink; c.beginPath();
  let since = 1e9;
  for (const m of marks) {
    if (m.s !== 'line' && m.s !== 'arc') continue;
    const a = along(m, .49), b = along(m, .51), x = px((a[0] + b[0]) / 2), y = py((a[1] + b[1]) / 2), t = Math.atan2(py(b[1]) - py(a[1]), px(b[0]) - px(a[0]));
    since += Math.hypot(m.p[0][0] - m.p[m.p.length - 1][0], m.p[0][1] - m.p[m.p.length - 1][1]) * scale;
    if (since < 60 && !(m.s === 'arc' && m.p[0][0] === m.p[1][0])) continue;
    since = 0;
    const r = 6, p = (f, s) => [x + Math.cos(t) * f - Math.sin(t) * s, y + Math.sin(t) * f + Math.cos(t) * s];
    c.moveTo(...p(r, 0)); c.lineTo(...p(-r * .7, r * .6)); c.lineTo(...p(-r * .7, -r * .6)); c.closePath();
  }
  c.fill();
}
function label(c, m, ink, dx, dy) { if (m.l) { c.fillStyle = ink; c.fillText(m.l, px(m.p[0][0]) + dx, py(m.p[0][1]) + dy); } }

function drawLayer(c, l) {
  const faint = pass && l.pass && !chosen(l);
  if (l.hits) return drawHits(c, l, faint);
  c.setLineDash([]); c.lineCap = 'butt'; c.lineJoin = 'round';
  switch (l.kind) {
  case 'board':
    c.beginPath(); chain(c, l.marks); c.fillStyle = BOARD; c.fill('evenodd'); c.strokeStyle = INK; c.lineWidth = 1.2; c.stroke(); return;
  case 'path': {
    const ink = faint ? FAINT : PATH;
    c.lineCap = 'round'; c.strokeStyle = ink; c.globalAlpha = faint ? .25 : .22;
    c.lineWidth = Math.max((l.marks[0].w || .2) * scale, 1); c.beginPath(); chain(c, l.marks); c.stroke();
    c.globalAlpha = 1; c.lineWidth = 1; c.beginPath(); chain(c, l.marks); c.stroke();
    if (!faint) arrows(c, l.marks, ink);
    return;
  }
  case 'tab':
    for (const m of l.marks) {
      c.beginPath(); trace(c, m); c.lineCap = 'butt'; c.lineWidth = m.w * scale;
      if (m.w) { c.strokeStyle = LAMINATE; c.stroke(); c.globalAlpha = .4; c.strokeStyle = TAB; c.stroke(); c.globalAlpha = 1; }
      c.strokeStyle = TAB; c.lineWidth = 1.6; c.stroke();
    }
    return;
  case 'keepout':
    for (const m of l.marks) {
      c.save(); c.beginPath(); trace(c, m); c.clip(); c.lineWidth = 1; c.strokeStyle = '#1c2b3388'; c.beginPath();
      const a = m.p[0], b = m.p[1] || [a[0] + m.w, a[1] + m.w], x0 = px(Math.min(a[0], b[0]) - m.w), x1 = px(Math.max(a[0], b[0])), y0 = py(Math.max(a[1], b[1])), y1 = py(Math.min(a[1], b[1]) - m.w), d = y1 - y0;
      for (let x = x0 - d; x < x1; x += 7) { c.moveTo(x, y1); c.lineTo(x + d, y0); }
      c.stroke(); c.restore();
      c.beginPath(); trace(c, m); c.strokeStyle = INK; c.setLineDash([5, 4]); c.lineWidth = 1.4; c.stroke(); c.setLineDash([]);
      if (m.l) { c.fillStyle = INK; c.fillText(m.l, Math.max(x0, px(0)) + 3, y0 - 5); }
    }
    return;
  case 'score':
    c.strokeStyle = SCORE; c.lineWidth = 2; c.setLineDash([14, 4, 3, 4]); c.beginPath(); chain(c, l.marks); c.stroke(); c.setLineDash([]);
    for (const m of l.marks) label(c, m, SCORE, 6, -5);
    return;
  case 'travel':
    if (pass && !chosen(l)) return;
    c.strokeStyle = INK; c.globalAlpha = .35; c.lineWidth = .7; c.beginPath(); chain(c, l.marks); c.stroke(); c.globalAlpha = 1; return;
  case 'pin':
    for (const m of l.marks) {
      const x = px(m.p[0][0]), y = py(m.p[0][1]), r = Math.max(m.w / 2 * scale, 2.5);
      c.fillStyle = c.strokeStyle = INK; c.lineWidth = 1.4;
      c.beginPath(); c.arc(x, y, r, 0, 7); c.fill();
      c.beginPath(); c.arc(x, y, r * 2, 0, 7); c.moveTo(x - r * 3, y); c.lineTo(x + r * 3, y); c.moveTo(x, y - r * 3); c.lineTo(x, y + r * 3); c.stroke();
      label(c, m, INK, r * 2 + 3, -r - 3);
    }
    return;
  case 'finding':
    for (const m of l.marks) {
      c.strokeStyle = ALARM; c.lineWidth = 2.5; c.beginPath(); c.arc(px(m.p[0][0]), py(m.p[0][1]), 11, 0, 7); c.stroke(); label(c, m, ALARM, 13, -7);
    }
    return;
  }
  c.strokeStyle = faint ? FAINT : INK; c.lineWidth = 1.2; c.beginPath(); chain(c, l.marks.filter(m => m.s !== 'text')); c.stroke();
  for (const m of l.marks) label(c, m, INK, 0, 0);
}

function drawBase() {
  const c = base;
  c.setTransform(ratio, 0, 0, ratio, 0, 0); c.clearRect(0, 0, wideness, highness);
  c.font = '12.5px system-ui, sans-serif';
  c.fillStyle = LAMINATE; c.fillRect(px(0), py(H), W * scale, H * scale);
  c.strokeStyle = INK; c.lineWidth = 2; c.strokeRect(px(0), py(H), W * scale, H * scale);
  for (const l of layers) if (pass && l.pass && !chosen(l)) { if (shown(l)) drawLayer(c, l); }
  for (const l of layers) if (chosen(l)) drawLayer(c, l);
  // origin
  const x = px(0), y = py(0);
  c.strokeStyle = c.fillStyle = INK; c.lineWidth = 2; c.beginPath(); c.arc(x, y, 4, 0, 7); c.moveTo(x, y); c.lineTo(x + 30, y); c.moveTo(x, y); c.lineTo(x, y - 30);
  c.moveTo(x + 24, y - 4); c.lineTo(x + 30, y); c.lineTo(x + 24, y + 4); c.moveTo(x - 4, y - 24); c.lineTo(x, y - 30); c.lineTo(x + 4, y - 24); c.stroke();
  c.fillText('X', x + 34, y + 13); c.fillText('Y', x - 13, y - 32);
  // scale bar
  let mm = 1; for (const step of [1, 2, 5]) for (let n = step / 100; n * scale <= 150; n *= 10) mm = Math.max(n, n * scale <= 150 && n > mm ? n : mm);
  if (mm * scale > 150) { mm = .01; for (const step of [1, 2, 5]) for (let n = step / 100; n * scale <= 150; n *= 10) if (n > mm) mm = n; }
  $('bar').firstChild.style.width = mm * scale + 'px'; $('bar').lastChild.textContent = +mm.toFixed(2) + ' mm';
}

let clock = 0, playing = false, last = 0;

function drawOver() {
  const c = over;
  c.setTransform(ratio, 0, 0, ratio, 0, 0); c.clearRect(0, 0, wideness, highness);
  const n = track.end.length;
  if (!n) return;
  const k = done(clock);
  // what is done of the run at hand: its way and, for a cutter, what it took away
  const current = Math.min(k, n - 1), l = track.layers[track.layer[current]], from = track.first[track.layer[current]];
  c.lineCap = c.lineJoin = 'round';
  if (l.hits) {
    if (run) { // the whole way of one run, faintly
      c.strokeStyle = INK; c.globalAlpha = .3; c.lineWidth = .8; c.beginPath();
      for (let i = 0; i < l.count; i++) { c.lineTo(px(hitX(l.hits, i)), py(hitY(l.hits, i))); if (l.hits.to) c.lineTo(px(endX(l.hits, i)), py(endY(l.hits, i))); }
      c.stroke();
    }
    c.strokeStyle = INK; c.globalAlpha = .85; c.lineWidth = run ? 1.6 : 1; c.beginPath();
    let begun = false;
    for (let i = from; i < k; i++) {
      const m = track.mark[i], x = px(hitX(l.hits, m)), y = py(hitY(l.hits, m));
      if (begun) c.lineTo(x, y); else { c.moveTo(x, y); begun = true; }
      if (l.hits.to) c.lineTo(px(endX(l.hits, m)), py(endY(l.hits, m)));
    }
    if (begun && k < n && track.layer[k] === track.layer[current]) c.lineTo(px(hitX(l.hits, track.mark[k])), py(hitY(l.hits, track.mark[k])));
    c.stroke(); c.globalAlpha = 1;
  } else {
    const part = l.marks.slice(0, k - from);
    c.strokeStyle = PATH; c.globalAlpha = .6; c.lineWidth = Math.max((l.marks[0].w || .2) * scale, 1); c.beginPath(); chain(c, part); c.stroke(); c.globalAlpha = 1;
  }
  const at = head(k);
  if (!l.hits && k < n) { const m = l.marks[track.mark[k]], s = shareOf(k); if (s > 0) { c.strokeStyle = PATH; c.globalAlpha = .6; c.lineWidth = Math.max(m.w * scale, 1); c.beginPath(); c.moveTo(px(m.p[0][0]), py(m.p[0][1])); for (let i = 1; i <= 12; i++) { const q = along(m, s * i / 12); c.lineTo(px(q[0]), py(q[1])); } c.stroke(); c.globalAlpha = 1; } }
  const r = Math.max((l.hits ? wide(l.hits, track.mark[current]) : l.marks[track.mark[current]].w || 0) / 2 * scale, 4);
  c.lineWidth = 3; c.strokeStyle = '#fff'; c.beginPath(); c.arc(px(at[0]), py(at[1]), r + 5, 0, 7); c.stroke();
  c.strokeStyle = ALARM; c.lineWidth = 2.5; c.beginPath(); c.arc(px(at[0]), py(at[1]), r + 3, 0, 7);
  for (const [a, b] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) { c.moveTo(px(at[0]) + a * (r + 3), py(at[1]) + b * (r + 3)); c.lineTo(px(at[0]) + a * (r + 11), py(at[1]) + b * (r + 11)); }
  c.stroke();
}
// shareOf says how much of the move at hand is done; a move that does not start
// where the last ended has its travel first, which is not timed apart.
function shareOf(k) {
  const t0 = k ? Math.max(track.end[k - 1], track.from) : track.from, t1 = track.end[k];
  return t1 > t0 ? Math.min(Math.max((clock - t0) / (t1 - t0), 0), 1) : 1;
}
function head(k) {
  const n = track.end.length;
  if (k >= n) return endOf(track.layers[track.layer[n - 1]], track.mark[n - 1]);
  const l = track.layers[track.layer[k]], m = track.mark[k];
  return l.hits ? startOf(l, m) : along(l.marks[m], shareOf(k));
}

function frame(now) {
  waiting = false;
  if (playing) {
    const dt = Math.min(now - last, 100); last = now;
    clock += dt * Number($('speed').value);
    if (clock >= track.to) { clock = track.to; stop(); }
    $('time').value = clock; overDirty = true; tell();
  }
  if (baseDirty) { drawBase(); baseDirty = false; drawn = { scale, left, top }; }
  shift();
  if (overDirty) { drawOver(); overDirty = false; }
  if (playing) ask();
}

// ---- words ----------------------------------------------------------------

function span(ms) {
  const s = ms / 1000;
  if (s < 59.95) return s.toFixed(1) + ' s';
  const n = Math.round(s), h = Math.floor(n / 3600), m = Math.floor(n / 60) % 60;
  return (h ? h + ' h ' : '') + m + ' min ' + n % 60 + ' s';
}
const xy = p => 'X' + p[0].toFixed(3) + ' Y' + p[1].toFixed(3);
const runOf = l => { const p = scene.passes.find(q => q.name === l.pass); return p && p.runs.find(r => r.run === l.run); };

// toolOf names the tool that makes an entry of a run and what is left for it after that.
function toolOf(l, i) {
  const r = runOf(l), share = r && l.hits && (r.shares || []).find(s => i + 1 >= s.first_hit && i + 1 < s.first_hit + s.hits);
  return { name: share ? 'T' + share.tool : r ? r.tool : '', left: share ? share.first_hit + share.hits - i - 2 : l.count - i - 1 };
}

function tell() {
  const n = track.end.length;
  if (!n) { for (const id of ['hit', 'tool', 'left', 'place', 'time']) $('now-' + id).textContent = '–'; $('now-hit').textContent = 'choose a pass'; return; }
  const k = Math.min(done(clock), n - 1), l = track.layers[track.layer[k]], i = track.mark[k], tool = toolOf(l, i);
  const whole = l.hits || !l.marks[i].n ? i + 1 : l.marks[i].n, of = l.hits || !l.marks[i].n ? l.count : l.marks[l.count - 1].n;
  $('now-hit').parentNode.firstElementChild.textContent = l.hits ? 'Hit' : 'Path';
  $('now-hit').textContent = whole + ' of ' + of;
  $('now-tool').textContent = (tool.name ? tool.name + '  ' : '') + (l.d ? l.d.toFixed(2) + ' mm' : '');
  $('now-left').textContent = l.hits ? tool.left + ' hits' : (of - whole) + ' paths';
  $('now-place').textContent = xy(head(done(clock)));
  $('now-time').textContent = track.timed ? span(clock - track.from) + ' of ' + span(track.to - track.from) : 'not timed';
}

// ---- player ---------------------------------------------------------------

function stop() { playing = false; $('play').textContent = 'Play'; $('play').setAttribute('aria-pressed', 'false'); }
function play() {
  if (playing || !track.end.length) { stop(); return; }
  if (clock >= track.to) clock = track.from;
  playing = true; last = performance.now(); $('play').textContent = 'Pause'; $('play').setAttribute('aria-pressed', 'true'); ask();
}
function jump(time) { clock = Math.min(Math.max(time, track.from), track.to); $('time').value = clock; tell(); reover(); }
function step(by) {
  stop();
  const k = done(clock) + by;
  jump(k <= 0 ? track.from : track.end[Math.min(k, track.end.length) - 1]);
}
$('play').onclick = play;
$('back').onclick = () => step(-1);
$('next').onclick = () => step(1);
$('time').oninput = () => { clock = Number($('time').value); tell(); reover(); };

// ---- pointing -------------------------------------------------------------

const CELL = 4; // mm
function grid(l) {
  if (!l.grid) {
    l.grid = new Map();
    for (let i = 0; i < l.hits.n; i++) {
      const key = Math.floor(hitX(l.hits, i) / CELL) + ',' + Math.floor(hitY(l.hits, i) / CELL), at = l.grid.get(key);
      if (at) at.push(i); else l.grid.set(key, [i]);
    }
  }
  return l.grid;
}
// find returns the hit nearest to a place among those shown, within a few pixels.
function find(x, y) {
  let best = null;
  for (const l of layers) {
    if (!l.hits || !chosen(l)) continue;
    const reach = Math.min(Math.max(6 / scale, l.hits.width / 2000), 12), g = grid(l);
    for (let a = Math.floor((x - reach) / CELL); a <= Math.floor((x + reach) / CELL); a++)
      for (let b = Math.floor((y - reach) / CELL); b <= Math.floor((y + reach) / CELL); b++)
        for (const i of g.get(a + ',' + b) || []) {
          const d = Math.hypot(hitX(l.hits, i) - x, hitY(l.hits, i) - y);
          if (d <= reach && (!best || d < best.d)) best = { l, i, d };
        }
  }
  return best;
}
// near gives the distance of a place from a mark of a path.
function near(m, x, y) {
  if (m.s === 'arc') {
    const a = arc(m); let t = Math.atan2(y - a.c[1], x - a.c[0]) - a.a0;
    while (t < 0) t += 2 * Math.PI;
    if (a.turn < 0) t -= 2 * Math.PI;
    if (Math.abs(t) <= Math.abs(a.turn)) return Math.abs(Math.hypot(x - a.c[0], y - a.c[1]) - a.r);
    return Math.min(...m.p.map(q => Math.hypot(q[0] - x, q[1] - y)));
  }
  let best = Infinity;
  for (let i = 1; i < m.p.length; i++) {
    const p = m.p[i - 1], q = m.p[i], dx = q[0] - p[0], dy = q[1] - p[1], n = dx * dx + dy * dy;
    const f = n ? Math.min(Math.max(((x - p[0]) * dx + (y - p[1]) * dy) / n, 0), 1) : 0;
    best = Math.min(best, Math.hypot(p[0] + f * dx - x, p[1] + f * dy - y));
  }
  return best;
}
function findPath(x, y) {
  let best = null;
  for (const l of layers) {
    if (l.kind !== 'path' || !chosen(l)) continue;
    l.marks.forEach((m, i) => { const d = near(m, x, y); if (d <= Math.max(m.w / 2, 5 / scale) && (!best || d < best.d)) best = { l, i, d }; });
  }
  return best;
}
function tipText({ l, i }) {
  if (!l.hits) {
    const m = l.marks[i], r = runOf(l);
    return ['path ' + (m.n || i + 1) + (m.r ? ' (' + m.r + ')' : ''), (l.d || m.w).toFixed(2) + ' mm' + (r ? ', ' + r.tool : '') + (l.pass ? ', ' + l.pass + ' run ' + l.run : ''), 'to ' + xy(m.p[m.p.length - 1])].concat(m.ms ? ['at ' + span(m.ms)] : [], m.l ? [m.l] : []).join('\n');
  }
  const h = l.hits, tool = toolOf(l, i).name, k = h.roles[h.role ? h.role[i] : 0];
  const lines = ['hit ' + (i + 1) + ' of ' + h.n + (k && k !== 'finish' ? ' (' + k + ')' : ''), wide(h, i).toFixed(2) + ' mm' + (tool ? ', ' + tool : '') + (l.pass ? ', ' + l.pass + ' run ' + l.run : ''), xy([hitX(h, i), hitY(h, i)])];
  if (h.ms) lines.push('at ' + span(h.ms[i]));
  if (h.labels && h.labels[i]) lines.push(h.labels[i]);
  if (h.file) lines.push(h.file + ' line ' + h.line[i]);
  return lines.join('\n');
}
function point(e) {
  const r = glass.getBoundingClientRect(), x = e.clientX - r.left, y = e.clientY - r.top, tip = $('tip'), f = find(mmX(x), mmY(y)) || findPath(mmX(x), mmY(y));
  tip.hidden = !f;
  if (!f) return;
  tip.textContent = tipText(f);
  tip.style.left = Math.min(x + 14, wideness - tip.offsetWidth - 4) + 'px';
  tip.style.top = (y + 14 + tip.offsetHeight > highness ? y - tip.offsetHeight - 8 : y + 14) + 'px';
}
const fingers = new Map();
let spread = 0;
glass.addEventListener('pointerdown', e => { if (e.target.closest('.zoom')) return; glass.setPointerCapture(e.pointerId); fingers.set(e.pointerId, [e.clientX, e.clientY]); glass.classList.add('drag'); spread = 0; });
glass.addEventListener('pointermove', e => {
  const was = fingers.get(e.pointerId);
  if (!was) { point(e); return; }
  fingers.set(e.pointerId, [e.clientX, e.clientY]);
  const all = [...fingers.values()];
  if (all.length === 1) { left += e.clientX - was[0]; top += e.clientY - was[1]; $('tip').hidden = true; moved(); return; }
  const d = Math.hypot(all[0][0] - all[1][0], all[0][1] - all[1][1]), r = glass.getBoundingClientRect();
  if (spread) zoom(d / spread, (all[0][0] + all[1][0]) / 2 - r.left, (all[0][1] + all[1][1]) / 2 - r.top);
  spread = d;
});
for (const name of ['pointerup', 'pointercancel']) glass.addEventListener(name, e => { fingers.delete(e.pointerId); spread = 0; if (!fingers.size) glass.classList.remove('drag'); });
glass.addEventListener('pointerleave', () => { $('tip').hidden = true; });
glass.addEventListener('wheel', e => { e.preventDefault(); const r = glass.getBoundingClientRect(); zoom(Math.exp(-e.deltaY * (e.deltaMode ? .05 : .0015)), e.clientX - r.left, e.clientY - r.top); }, { passive: false });
$('zoom-in').onclick = () => zoom(1.5, wideness / 2, highness / 2);
$('zoom-out').onclick = () => zoom(1 / 1.5, wideness / 2, highness / 2);
$('zoom-all').onclick = () => { fit(); redraw(); };
glass.addEventListener('keydown', e => {
  if (e.ctrlKey || e.metaKey || e.altKey || e.target !== glass) return;
  const d = e.shiftKey ? 200 : 50;
  const act = {
    ArrowLeft: () => { left += d; moved(); }, ArrowRight: () => { left -= d; moved(); }, ArrowUp: () => { top += d; moved(); }, ArrowDown: () => { top -= d; moved(); },
    '+': () => zoom(1.25, wideness / 2, highness / 2), '=': () => zoom(1.25, wideness / 2, highness / 2), '-': () => zoom(.8, wideness / 2, highness / 2), '0': () => { fit(); redraw(); },
    ' ': play, ',': () => step(-1), '.': () => step(1), Home: () => jump(track.from), End: () => jump(track.to), n: () => other(1), p: () => other(-1),
  }[e.key];
  if (act) { e.preventDefault(); act(); }
});

// ---- choosing -------------------------------------------------------------

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
for (const p of scene.passes) {
  button('pass', { pass: p, run: 0 }, [words(p.name, 'set-up ' + p.setUp + ', ' + p.op), time(span(p.ms))]);
  for (const r of p.runs) {
    const l = runLayers(p, r.run)[0];
    button('run', { pass: p, run: r.run }, [swatch(l), words(r.tool + ', ' + r.text), time(r.hits ? r.hits + ' hits' : '')]);
  }
}
const legend = document.createElement('ul');
legend.className = 'legend';
const seen = kind => scene.layers.some(l => l.kind === kind && l.count);
for (const [kind, text] of [['board', 'board, as it is wanted'], ['path', 'what a cutter takes, with its direction'], ['tab', 'tab'], ['score', 'score line'], ['keepout', 'keep out'], ['pin', 'pin'], ['finding', 'finding']]) {
  if (!seen(kind)) continue;
  const li = document.createElement('li'), i = document.createElement('i');
  i.className = 'k-' + kind; li.append(i, text); legend.append(li);
}
$('picker').append(legend);
const keys = document.createElement('p');
keys.className = 'keys';
for (const [k, t] of [['arrows', 'move'], ['+ −', 'size'], ['0', 'all'], ['space', 'play'], [', .', 'step'], ['n p', 'next, previous run']]) { const e = document.createElement('kbd'); e.textContent = k; keys.append(e, ' ' + t + '  '); }
$('picker').append(keys);

function choose(p, r) {
  stop(); pass = p; run = r;
  for (const c of choices) c.b.setAttribute('aria-pressed', String(c.pass === p && c.run === r));
  build(); tell(); redraw();
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
})();
