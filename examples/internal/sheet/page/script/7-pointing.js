// Pointing, moving and enlarging, by pointer and by keys.

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
