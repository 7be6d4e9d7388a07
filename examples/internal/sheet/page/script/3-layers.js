// The layers of the picture, from marks to strokes.

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
    c.strokeStyle = SCORE; c.lineWidth = 2; c.setLineDash([14, 4, 3, 4]); c.beginPath(); chain(c, l.marks); c.stroke(); c.setLineDash([]);
    for (const m of l.marks) lineLabel(c, m, SCORE);
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
