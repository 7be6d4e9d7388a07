// Frames: the picture at rest, what is done of it, where the machine is, the rulers.

function drawBase() {
  const c = base;
  c.setTransform(ratio, 0, 0, ratio, 0, 0); c.clearRect(0, 0, wideness, highness);
  c.font = FONT;
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
