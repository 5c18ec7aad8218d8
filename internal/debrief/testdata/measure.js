// Measures what a report shows, for browser_test.go, and leaves it in the page as JSON.
addEventListener('load', () => {
  const colour = text => text.match(/[\d.]+/g).map(Number);
  const box = e => { const b = e.getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom]; };
  const written = e => { const r = document.createRange(); r.selectNodeContents(e); return r; };
  const behind = e => {
    for (; e; e = e.parentElement) {
      const c = colour(getComputedStyle(e).backgroundColor);
      if (c.length < 4 || c[3] > 0) return c.slice(0, 3);
    }
    return [255, 255, 255];
  };
  const texts = [...document.querySelectorAll('h1,h2,p,li,td,th,footer')].filter(e => e.textContent.trim()).map(e => ({
    text: e.textContent.trim().slice(0, 40), ink: colour(getComputedStyle(e).color).slice(0, 3), page: behind(e),
    box: box(written(e)),
  }));
  const pictures = [...document.querySelectorAll('figure')].map(f => {
    const svg = f.querySelector('svg');
    return {
      title: f.querySelector('h2').textContent, box: box(svg), size: parseFloat(getComputedStyle(svg.querySelector('text')).fontSize) * svg.getScreenCTM().a,
      texts: [...svg.querySelectorAll('text')].map(t => ({ text: t.textContent, box: box(t), ink: colour(getComputedStyle(t).fill).slice(0, 3), page: behind(f) })),
      lines: [...svg.querySelectorAll('polyline:not(.grid)')].map(l => ({
        kind: l.getAttribute('class'), ink: colour(getComputedStyle(l).stroke).slice(0, 3), page: behind(f),
        points: [...l.points].map(p => { const q = p.matrixTransform(l.getScreenCTM()); return [q.x, q.y]; }),
      })),
    };
  });
  const measured = {
    fetched: performance.getEntriesByType('resource').map(r => r.name), scrolls: document.documentElement.scrollWidth - innerWidth,
    height: document.documentElement.scrollHeight, texts, pictures,
  };
  const out = document.createElement('script');
  out.type = 'application/json';
  out.id = 'measured';
  out.textContent = JSON.stringify(measured).replace(/</g, '\\u003c');
  document.body.append(out);
});
