// The data of the page: lengths in it are micrometres, here millimetres; times milliseconds.

const $ = id => document.getElementById(id);
const scene = JSON.parse($('scene').textContent);

const INK = '#1c2b33', LAMINATE = '#f3ecd9', BOARD = '#dfe7d8', PATH = '#6d4a9c', TAB = '#b4460f', SCORE = '#0a5c8c', ALARM = '#b3123c', FAINT = '#aab0aa';
const FONT = '12.5px system-ui, "DejaVu Sans", sans-serif';
const ORDER = ['panel', 'board', 'keepout', 'path', 'tab', 'travel', 'perforation', 'hits', 'score', 'pin', 'finding'];
const W = scene.w / 1000, H = scene.h / 1000;

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
