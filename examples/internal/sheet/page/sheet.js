'use strict';
// The words are shown before the picture is made of its data.
requestAnimationFrame(() => setTimeout(() => {
// The picture of the sheet: moved, enlarged and played in machine time.
// Lengths in the data are micrometres, here millimetres; times milliseconds.

const $ = id => document.getElementById(id);
const scene = JSON.parse($('scene').textContent);

const INK = '#1c2b33', LAMINATE = '#f3ecd9', BOARD = '#dfe7d8', PATH = '#6d4a9c', TAB = '#b4460f', SCORE = '#0a5c8c', ALARM = '#b3123c', FAINT = '#aab0aa';
const FONT = '12.5px system-ui, "DejaVu Sans", sans-serif';
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
    if (h.role) h.role = bytes(h.role);
    if (h.file) h.file = bytes(h.file);
    if (h.line) h.line = ints(h.line);
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

// A pass may be made in several set-ups; what stands on the panel may belong to one of them.
const of = (l, p) => (!l.pass || l.pass === p.name) && (!l.setUp || l.setUp === p.setUp);
const runLayers = (p, r) => scene.layers.filter(l => l.run && l.pass && of(l, p) && (l.kind === 'hits' || l.kind === 'path') && (!r || l.run === r)).sort((a, b) => a.run - b.run);
const shown = l => !pass || of(l, pass);
const chosen = l => shown(l) && (!pass || !run || !l.run || l.run === run);

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

// ---- view -----------------------------------------------------------------

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
  g.globalAlpha = faint ? .7 : signR ? .55 : .9; g.beginPath(); g.arc(half, half, r, 0, 7); g.fill();
  g.globalAlpha = 1;
  if (signR) { g.lineWidth = signWidth(signR); g.beginPath(); sign(g, l.style, half, half, signR); g.stroke(); }
  return { c, half, side: c.width / ratio };
}
const signWidth = r => Math.max(1, Math.min(r / 5, 2));

// room is the half size in mm at which nine of ten symbols stay clear of their
// neighbours: larger ones would make a block of ink where hits are dense.
function room(l) {
  if (l.room === undefined) {
    const h = l.hits, g = grid(l), near = [];
    for (let i = 0; i < h.n; i++) {
      if (!signed(h, i)) continue;
      const x = hitX(h, i), y = hitY(h, i), a = Math.floor(x / CELL), b = Math.floor(y / CELL);
      let best = Infinity; // no neighbour near: room for the largest
      for (let u = a - 1; u <= a + 1; u++) for (let v = b - 1; v <= b + 1; v++) for (const k of g.get(u + ',' + v) || []) {
        const dx = hitX(h, k) - x, dy = hitY(h, k) - y, d = dx * dx + dy * dy;
        if (d && d < best && signed(h, k)) best = d;
      }
      near.push(best);
    }
    near.sort((a, b) => a - b);
    l.room = near.length ? Math.sqrt(near[near.length / 10 | 0]) * .45 : Infinity;
  }
  return l.room;
}
const signed = (h, i) => { const k = role(h, i); return !k || k === 'finish'; };

function drawHits(c, l, faint) {
  const h = l.hits;
  let signR = Math.max(h.width / 1000 * .75 * scale, Math.min(room(l) * scale, Math.max(5.5, Math.min(Math.max(W, H) / 450 * scale, 8))));
  if (faint || signR < 2.6 || l.kind !== 'hits') signR = 0;
  const least = faint ? .7 : .9, r0 = Math.max(h.width / 2000 * scale, least);
  const stamps = h.wide || r0 > 30 ? null : [stamp(l, faint, r0, 0), stamp(l, faint, r0, signR)];
  c.fillStyle = c.strokeStyle = faint ? FAINT : inkOf(l); c.lineWidth = signWidth(signR);
  for (let i = 0; i < h.n; i++) {
    const x = px(hitX(h, i)), y = py(hitY(h, i)), sig = signR && signed(h, i);
    const r = h.wide ? Math.max(wide(h, i) / 2 * scale, least) : r0;
    const long = h.to && (h.xy[2 * i] !== h.to[2 * i] || h.xy[2 * i + 1] !== h.to[2 * i + 1]);
    const u = long ? px(endX(h, i)) : x, v = long ? py(endY(h, i)) : y;
    if (!inView((x + u) / 2, (y + v) / 2, r + signR + Math.hypot(u - x, v - y))) continue;
    if (stamps && !long) { const s = stamps[sig ? 1 : 0]; c.drawImage(s.c, x - s.half, y - s.half, s.side, s.side); continue; }
    const a = Math.atan2(v - y, u - x);
    c.globalAlpha = faint ? .7 : .55; c.beginPath(); c.arc(x, y, r, a + Math.PI / 2, a - Math.PI / 2); c.arc(u, v, r, a - Math.PI / 2, a + Math.PI / 2); c.fill();
    c.globalAlpha = 1;
    if (sig) { c.beginPath(); sign(c, l.style, (x + u) / 2, (y + v) / 2, signR); c.stroke(); }
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
// put writes a text with a halo, so that it is legible over lines and hits.
function put(c, text, x, y, ink) { c.lineJoin = 'round'; c.lineWidth = 3.5; c.strokeStyle = '#fffdf7'; c.strokeText(text, x, y); c.fillStyle = ink; c.fillText(text, x, y); }
function label(c, m, ink, dx, dy) { if (m.l) put(c, m.l, px(m.p[0][0]) + dx, py(m.p[0][1]) + dy, ink); }
// lineLabel writes along a line, from its left or lower end.
function lineLabel(c, m, ink) {
  if (!m.l) return;
  let [a, b] = [m.p[0], m.p[1]];
  const steep = Math.abs(b[1] - a[1]) > Math.abs(b[0] - a[0]);
  if (steep ? a[1] > b[1] : a[0] > b[0]) [a, b] = [b, a];
  c.save(); // from where the line comes into view
  if (steep) c.translate(px(a[0]), Math.min(py(a[1]), highness - RULER)); else c.translate(Math.max(px(a[0]), RULER), py(a[1]));
  c.rotate(Math.atan2(py(b[1]) - py(a[1]), px(b[0]) - px(a[0])));
  put(c, m.l, 12, -5, ink); c.restore();
}

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
      if (m.l) put(c, m.l, Math.max(x0, px(0)) + 3, y0 - 6, INK);
    }
    return;
  case 'score':
    c.strokeStyle = SCORE; c.lineWidth = 2; c.setLineDash([14, 4, 3, 4]); c.beginPath(); chain(c, l.marks); c.stroke(); c.setLineDash([]); return;
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
      c.strokeStyle = ALARM; c.lineWidth = 2.5; c.beginPath(); c.arc(px(m.p[0][0]), py(m.p[0][1]), 11, 0, 7); c.stroke();
      if (!m.l) continue;
      const x = px(m.p[0][0]) + 15, y = py(m.p[0][1]) - 11; // the number that the list of findings gives it
      c.fillStyle = ALARM; c.beginPath(); c.arc(x, y, 8, 0, 7); c.fill();
      c.fillStyle = '#fff'; c.textAlign = 'center'; c.fillText(m.l, x, y + 4.5); c.textAlign = 'left';
    }
    return;
  }
  c.strokeStyle = faint ? FAINT : INK; c.lineWidth = 1.2; c.beginPath(); chain(c, l.marks.filter(m => m.s !== 'text')); c.stroke();
  for (const m of l.marks) label(c, m, INK, 0, 0);
}

function drawBase() {
  const c = base;
  c.setTransform(ratio, 0, 0, ratio, 0, 0); c.clearRect(0, 0, wideness, highness);
  c.font = FONT;
  c.fillStyle = LAMINATE; c.fillRect(px(0), py(H), W * scale, H * scale);
  c.strokeStyle = INK; c.lineWidth = 2; c.strokeRect(px(0), py(H), W * scale, H * scale);
  for (const l of layers) if (pass && l.pass && !chosen(l)) { if (shown(l)) drawLayer(c, l); }
  for (const l of layers) if (chosen(l)) drawLayer(c, l);
  for (const l of layers) if (l.kind === 'score') for (const m of l.marks) lineLabel(c, m, SCORE); // over the hits
  // origin
  const x = px(0), y = py(0);
  c.strokeStyle = c.fillStyle = INK; c.lineWidth = 2; c.beginPath(); c.arc(x, y, 4, 0, 7); c.moveTo(x, y); c.lineTo(x + 30, y); c.moveTo(x, y); c.lineTo(x, y - 30);
  c.moveTo(x + 24, y - 4); c.lineTo(x + 30, y); c.lineTo(x + 24, y + 4); c.moveTo(x - 4, y - 24); c.lineTo(x, y - 30); c.lineTo(x + 4, y - 24); c.stroke();
  c.fillText('X', x + 34, y + 13); c.fillText('Y', x - 13, y - 32);
  // scale bar
  let mm = nice(75 / scale);
  $('bar').firstChild.style.width = mm * scale + 'px'; $('bar').lastChild.textContent = +mm.toFixed(2) + ' mm';
}

let clock = 0, playing = false, last = 0;

// The trail is what is done of the run at hand: its way and, for a cutter, what
// it took away. It only grows while the machine plays, so only its end is drawn.
let trailed = -1, trailOf = -1;
function drawTrail() {
  const c = trail, n = track.end.length, k = n ? done(clock) : 0, j = n ? track.layer[Math.min(k, n - 1)] : -1;
  if (trailed < 0 || k < trailed || j !== trailOf) {
    c.setTransform(ratio, 0, 0, ratio, 0, 0); c.clearRect(0, 0, wideness, highness);
    trailOf = j; trailed = n ? track.first[j] : 0;
    if (n && run && track.layers[j].hits) wayOf(c, track.layers[j], 0, track.layers[j].count, .35, .8); // the way to come, faintly
  }
  if (!n || k === trailed) return;
  const l = track.layers[j], from = track.first[j];
  if (l.hits) wayOf(c, l, Math.max(trailed - from - 1, 0), k - from, 1, run ? 1.8 : 1.1);
  else {
    c.lineCap = c.lineJoin = 'round'; c.strokeStyle = PATH; c.lineWidth = Math.max((l.marks[0].w || .2) * scale, 1); c.beginPath();
    chain(c, l.marks.slice(trailed - from, k - from)); c.stroke();
  }
  trailed = k;
}
// wayOf draws the way from one hit of a run to another.
function wayOf(c, l, from, to, alpha, width) {
  const h = l.hits;
  c.lineCap = c.lineJoin = 'round'; c.strokeStyle = INK; c.globalAlpha = alpha; c.lineWidth = width; c.beginPath();
  for (let i = from; i < to; i++) { c.lineTo(px(hitX(h, i)), py(hitY(h, i))); if (h.to) c.lineTo(px(endX(h, i)), py(endY(h, i))); }
  c.stroke(); c.globalAlpha = 1;
}

function drawOver() {
  const c = over;
  c.setTransform(ratio, 0, 0, ratio, 0, 0); c.clearRect(0, 0, wideness, highness);
  c.font = FONT; c.lineCap = 'round';
  if (track.end.length) drawHead(c);
  if (hover) {
    const [x, y] = hover.l.hits ? startOf(hover.l, hover.i) : [hover.x, hover.y], r = hover.l.hits ? Math.max(wide(hover.l.hits, hover.i) / 2 * scale, 3) + 4 : 5;
    for (const [ink, w] of [['#fff', 4.5], [INK, 2]]) { c.strokeStyle = ink; c.lineWidth = w; c.beginPath(); c.arc(px(x), py(y), r, 0, 7); c.stroke(); }
  }
  rulers(c);
}
// drawHead marks where the machine is, with the unfinished part of a cutter's move.
function drawHead(c) {
  const n = track.end.length, k = done(clock), current = Math.min(k, n - 1), l = track.layers[track.layer[current]], at = head(k);
  if (!l.hits && k < n) {
    const m = l.marks[track.mark[k]], s = shareOf(k);
    if (s > 0) {
      c.strokeStyle = PATH; c.globalAlpha = .6; c.lineWidth = Math.max(m.w * scale, 1); c.beginPath(); c.moveTo(px(m.p[0][0]), py(m.p[0][1]));
      for (let i = 1; i <= 12; i++) { const q = along(m, s * i / 12); c.lineTo(px(q[0]), py(q[1])); }
      c.stroke(); c.globalAlpha = 1;
    }
  }
  const r = Math.max((l.hits ? wide(l.hits, track.mark[current]) : l.marks[track.mark[current]].w || 0) / 2 * scale, 4), x = px(at[0]), y = py(at[1]);
  for (const [ink, w] of [['#fff', 6], [ALARM, 2.5]]) {
    c.strokeStyle = ink; c.lineWidth = w; c.beginPath(); c.arc(x, y, r + 3, 0, 7);
    for (const [a, b] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) { c.moveTo(x + a * (r + 3), y + b * (r + 3)); c.lineTo(x + a * (r + 12), y + b * (r + 12)); }
    c.stroke();
  }
}
// nice is the smallest of 1, 2, 5, 10, ... that is no less than a length.
function nice(least) { let n = .001; for (;;) for (const f of [1, 2, 5]) { if (f === 1) n *= 10; if (n * f / 10 >= least) return +(n * f / 10).toPrecision(1); } }
// rulers shows the panel's own coordinates along the left and the lower edge,
// and where the pointer is on them.
function rulers(c) {
  const step = nice(64 / scale), low = highness - RULER, fine = step / 10 * scale >= 5 ? 10 : 5, text = v => +v.toFixed(3) + '';
  c.fillStyle = '#fffdf7'; c.fillRect(0, low, wideness, RULER); c.fillRect(0, 0, RULER, highness);
  c.strokeStyle = INK; c.lineWidth = 1; c.beginPath(); c.moveTo(RULER, 0); c.lineTo(RULER, low); c.lineTo(wideness, low);
  for (let i = Math.ceil(mmX(RULER) * fine / step); i <= mmX(wideness) * fine / step; i++) {
    const x = px(i * step / fine), big = i % fine === 0, mm = i * step / fine;
    if (mm < -1e-9 || mm > W + 1e-9) continue;
    c.moveTo(x, low); c.lineTo(x, low + (big ? 8 : 4));
    if (big && x > RULER + 14) { c.fillStyle = INK; c.textAlign = 'center'; c.fillText(text(mm), x, low + 19); }
  }
  for (let i = Math.ceil(mmY(low) * fine / step); i <= mmY(0) * fine / step; i++) {
    const y = py(i * step / fine), big = i % fine === 0, mm = i * step / fine;
    if (mm < -1e-9 || mm > H + 1e-9) continue;
    c.moveTo(RULER, y); c.lineTo(RULER - (big ? 8 : 4), y);
    if (big && y < low - 10) { c.save(); c.translate(RULER - 11, y); c.rotate(-Math.PI / 2); c.fillStyle = INK; c.textAlign = 'center'; c.fillText(text(mm), 0, 0); c.restore(); }
  }
  c.stroke(); c.textAlign = 'left';
  c.fillStyle = '#fffdf7'; c.fillRect(0, low + 1, RULER, RULER); c.fillStyle = INK; c.fillText('mm', 1, low + 15);
  if (pointer) {
    c.fillStyle = ALARM; c.beginPath();
    c.moveTo(pointer[0], low); c.lineTo(pointer[0] - 5, low + 9); c.lineTo(pointer[0] + 5, low + 9);
    c.moveTo(RULER, pointer[1]); c.lineTo(RULER - 9, pointer[1] - 5); c.lineTo(RULER - 9, pointer[1] + 5); c.fill();
  }
}

// ---- the strip: the choice in machine time ----------------------------------

const STRIP = 30; // css px, of the runs; the scale of time is under them
let stripWide = 0;
const timeX = t => (t - track.from) / (track.to - track.from || 1) * stripWide;
function drawBand() {
  const c = band;
  c.setTransform(ratio, 0, 0, ratio, 0, 0); c.clearRect(0, 0, stripWide, 60);
  c.font = FONT; c.fillStyle = '#e9e3d2'; c.fillRect(0, 0, stripWide, STRIP);
  track.layers.forEach((l, j) => {
    const last = track.first[j] + l.count - 1, from = timeX(track.timed ? l.start : j ? track.end[track.first[j] - 1] : 0), to = timeX(track.end[last]), now = Math.min(Math.max(timeX(clock), from), to);
    c.fillStyle = '#fffdf7'; c.fillRect(from, 0, to - from, STRIP);
    c.fillStyle = l.hits ? inkOf(l) : PATH;
    c.globalAlpha = .16; c.fillRect(from, 0, to - from, STRIP);
    c.globalAlpha = .5; c.fillRect(from, 0, now - from, STRIP); c.globalAlpha = 1;
    c.strokeStyle = INK; c.lineWidth = 1; c.beginPath(); c.moveTo(from, 0); c.lineTo(from, STRIP);
    const r = runOf(l);
    for (const s of (r && l.hits && r.shares) || []) if (s.first_hit > 1) { const x = timeX(track.end[track.first[j] + s.first_hit - 2]); c.moveTo(x, STRIP - 7); c.lineTo(x, STRIP); }
    c.stroke();
    if (to - from < 24 || !l.hits) { if (to - from > 60) put(c, r ? r.tool : '', from + 8, STRIP / 2 + 4.5, INK); return; }
    c.strokeStyle = '#fffdf7'; c.lineWidth = 4.5; c.beginPath(); sign(c, l.style, from + 14, STRIP / 2, 6.5); c.stroke();
    c.strokeStyle = inkOf(l); c.lineWidth = 1.8; c.beginPath(); sign(c, l.style, from + 14, STRIP / 2, 6.5); c.stroke();
    if (r && to - from > 34 + 8 * r.tool.length) put(c, r.tool, from + 27, STRIP / 2 + 4.5, INK);
  });
  c.strokeStyle = INK; c.lineWidth = 1; c.strokeRect(.5, .5, stripWide - 1, STRIP - 1);
  if (track.timed) {
    const whole = (track.to - track.from) / 1000, step = [.1, .2, .5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 36000].find(s => s / whole * stripWide >= 64) || 86400;
    c.fillStyle = INK; c.beginPath();
    for (let t = 0; t <= whole; t += step) {
      const x = timeX(track.from + t * 1000), u = +t.toFixed(1), text = u >= 3600 ? Math.floor(u / 3600) + ' h' + (u % 3600 ? ' ' + u % 3600 / 60 : '') : u >= 60 ? +(u / 60).toFixed(1) + ' min' : u ? u + ' s' : '0';
      c.moveTo(x, STRIP); c.lineTo(x, STRIP + 5); c.textAlign = t ? 'center' : 'left';
      if (x < stripWide - 18) c.fillText(text, x, STRIP + 17);
    }
    c.stroke(); c.textAlign = 'left';
  }
  if (!track.end.length) return;
  const x = timeX(clock);
  c.fillStyle = c.strokeStyle = ALARM; c.lineWidth = 2.5; c.beginPath(); c.moveTo(x, 0); c.lineTo(x, STRIP); c.stroke();
  c.beginPath(); c.moveTo(x - 6, STRIP + 9); c.lineTo(x + 6, STRIP + 9); c.lineTo(x, STRIP); c.fill();
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
  if (baseDirty) { drawBase(); baseDirty = false; trailed = -1; drawn = { scale, left, top }; }
  drawTrail();
  shift();
  if (overDirty) { drawOver(); drawBand(); overDirty = false; }
  if (playing) ask();
}

// ---- words ----------------------------------------------------------------

function span(ms) {
  const s = ms / 1000;
  if (s < 59.95) return s.toFixed(1) + ' s';
  const n = Math.round(s), h = Math.floor(n / 3600), m = Math.floor(n / 60) % 60;
  return (h ? h + ' h ' : '') + m + ' min ' + n % 60 + ' s';
}
const plural = (n, noun) => n + ' ' + noun + (n === 1 ? '' : 's');
const xy = p => 'X' + p[0].toFixed(3) + ' Y' + p[1].toFixed(3);
const runOf = l => { const p = scene.passes.find(q => l.pass && of(l, q)); return p && p.runs.find(r => r.run === l.run); };

// toolOf names the tool that makes an entry of a run and what is left for it after that.
function toolOf(l, i) {
  const r = runOf(l), share = r && l.hits && (r.shares || []).find(s => i + 1 >= s.first_hit && i + 1 < s.first_hit + s.hits);
  // Where the control counts, a bit may come worn from the load before.
  if (r && r.limit) return { name: r.tool, of: r.limit, left: Math.min(r.limit - i % r.limit, l.count - i) - 1, most: 'at most ' };
  return { most: '', name: share ? 'T' + share.tool : r ? r.tool : '', of: share ? share.hits : l.count, left: share ? share.first_hit + share.hits - i - 2 : l.count - i - 1 };
}

function tell() {
  const n = track.end.length;
  if (!n) { for (const id of ['hit', 'tool', 'left', 'place', 'time']) $('now-' + id).textContent = '–'; $('now-life').style.width = 0; $('now-hit').textContent = 'choose a pass'; return; }
  const k = Math.min(done(clock), n - 1), l = track.layers[track.layer[k]], i = track.mark[k], tool = toolOf(l, i);
  const whole = l.hits || !l.marks[i].n ? i + 1 : l.marks[i].n, of = l.hits || !l.marks[i].n ? l.count : l.marks[l.count - 1].n;
  $('now-hit').parentNode.firstElementChild.textContent = l.hits ? 'Hit' : 'Path';
  $('now-hit').textContent = whole + ' of ' + of;
  $('now-tool').textContent = (tool.name ? tool.name + '  ' : '') + (l.d ? l.d.toFixed(2) + ' mm' : '');
  $('now-left').textContent = l.hits ? tool.most + plural(tool.left, 'hit') : plural(of - whole, 'path');
  $('now-life').style.width = 100 * (l.hits ? tool.left / tool.of : (of - whole) / of) + '%';
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
const strip = $('strip');
const seek = e => { if (stripWide && track.end.length) jump(track.from + (e.clientX - strip.getBoundingClientRect().left) / stripWide * (track.to - track.from)); };
strip.addEventListener('pointerdown', e => { e.preventDefault(); $('time').focus(); strip.setPointerCapture(e.pointerId); seek(e); });
strip.addEventListener('pointermove', e => { if (strip.hasPointerCapture(e.pointerId)) seek(e); });
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
// from says where something is given: a file and its line, or what it is called.
const from = (file, line) => line ? 'from ' + file + ', line ' + line : file;
const parted = src => { const m = /^(.*):(\d+)$/.exec(src); return m ? [m[1], Number(m[2])] : [src, 0]; };
function tipText({ l, i }) {
  if (!l.hits) {
    const m = l.marks[i], r = runOf(l);
    return ['path ' + (m.n || i + 1) + (m.r ? ' (' + m.r + ')' : ''), (l.d || m.w).toFixed(2) + ' mm' + (r ? ', ' + r.tool : '') + (l.pass ? ', ' + l.pass + ' run ' + l.run : ''), 'to ' + xy(m.p[m.p.length - 1])].concat(m.ms ? ['at ' + span(m.ms)] : [], m.l ? [m.l] : [], m.src ? [from(...parted(m.src))] : []).join('\n');
  }
  const h = l.hits, tool = toolOf(l, i).name, k = h.roles[h.role ? h.role[i] : 0];
  const lines = ['hit ' + (i + 1) + ' of ' + h.n + (k && k !== 'finish' ? ' (' + k + ')' : ''), wide(h, i).toFixed(2) + ' mm' + (tool ? ', ' + tool : '') + (l.pass ? ', ' + l.pass + ' run ' + l.run : ''), xy([hitX(h, i), hitY(h, i)])];
  if (h.ms) lines.push('at ' + span(h.ms[i]));
  if (h.labels && h.labels[i]) lines.push(h.labels[i]);
  if (h.files) lines.push(from(h.files[h.file ? h.file[i] : 0], h.line ? h.line[i] : 0));
  return lines.join('\n');
}
let hover = null, pointer = null;
function point(e) {
  const r = glass.getBoundingClientRect(), x = e.clientX - r.left, y = e.clientY - r.top, tip = $('tip'), f = find(mmX(x), mmY(y)) || findPath(mmX(x), mmY(y));
  pointer = [x, y]; hover = f && { ...f, x: mmX(x), y: mmY(y) }; reover();
  tip.hidden = !f;
  if (!f) return;
  tip.textContent = tipText(f);
  tip.style.left = Math.min(x + 16, wideness - tip.offsetWidth - 4) + 'px';
  tip.style.top = (y + 16 + tip.offsetHeight > highness ? y - tip.offsetHeight - 10 : y + 16) + 'px';
}
function unpoint() { hover = pointer = null; $('tip').hidden = true; reover(); }
const fingers = new Map();
let spread = 0;
glass.addEventListener('pointerdown', e => { if (e.target.closest('.zoom')) return; glass.setPointerCapture(e.pointerId); fingers.set(e.pointerId, [e.clientX, e.clientY]); glass.classList.add('drag'); spread = 0; });
glass.addEventListener('pointermove', e => {
  const was = fingers.get(e.pointerId);
  if (!was) { point(e); return; }
  fingers.set(e.pointerId, [e.clientX, e.clientY]);
  const all = [...fingers.values()];
  if (all.length === 1) { left += e.clientX - was[0]; top += e.clientY - was[1]; unpoint(); moved(); return; }
  const d = Math.hypot(all[0][0] - all[1][0], all[0][1] - all[1][1]), r = glass.getBoundingClientRect();
  if (spread) zoom(d / spread, (all[0][0] + all[1][0]) / 2 - r.left, (all[0][1] + all[1][1]) / 2 - r.top);
  spread = d;
});
for (const name of ['pointerup', 'pointercancel']) glass.addEventListener(name, e => { fingers.delete(e.pointerId); spread = 0; if (!fingers.size) glass.classList.remove('drag'); });
glass.addEventListener('pointerleave', unpoint);
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
let setUp = 0;
for (const p of scene.passes) {
  if (p.setUp !== setUp) { const h = document.createElement('p'); h.className = 'of'; h.textContent = 'Set-up ' + (setUp = p.setUp) + ', ' + p.stage; $('picker').append(h); }
  button('pass', { pass: p, run: 0 }, [words(p.name, p.op === p.name ? '' : p.op), time(span(p.ms))]);
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
document.documentElement.dataset.ready = 'yes';
}));
