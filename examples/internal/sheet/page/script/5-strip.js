// The strip: the choice in machine time.

const STRIP = 30; // css px, of the runs; the scale of time is under them
let stripWide = 0;
const timeX = t => (t - track.from) / (track.to - track.from || 1) * stripWide;
function drawBand() {
  const c = band;
  c.setTransform(ratio, 0, 0, ratio, 0, 0); c.clearRect(0, 0, stripWide, 60);
  c.font = FONT; c.fillStyle = '#e9e3d2'; c.fillRect(0, 0, stripWide, STRIP);
  track.layers.forEach((l, j) => {
    const from = timeX(track.timed ? l.start : j ? track.until[j - 1] : 0), to = timeX(track.until[j]), now = Math.min(Math.max(timeX(clock), from), to);
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
      const x = timeX(track.from + t * 1000), u = +t.toFixed(1), text = u >= 3600 ? Math.floor(u / 3600) + ' h' + (u % 3600 ? ' ' + u % 3600 / 60 : '') : u >= 60 ? Math.floor(u / 60) + (u % 60 ? ':' + String(u % 60).padStart(2, '0') : '') + ' min' : u ? u + ' s' : '0';
      c.moveTo(x, STRIP); c.lineTo(x, STRIP + 5); c.textAlign = t ? 'center' : 'left';
      if (x + c.measureText(text).width / 2 <= stripWide) c.fillText(text, x, STRIP + 17);
    }
    c.stroke(); c.textAlign = 'left';
  }
  if (!track.end.length) return;
  const x = timeX(clock);
  c.fillStyle = c.strokeStyle = ALARM; c.lineWidth = 2.5; c.beginPath(); c.moveTo(x, 0); c.lineTo(x, STRIP); c.stroke();
  c.beginPath(); c.moveTo(x - 6, STRIP + 9); c.lineTo(x + 6, STRIP + 9); c.lineTo(x, STRIP); c.fill();
}
