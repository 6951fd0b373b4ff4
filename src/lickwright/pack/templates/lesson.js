for (const section of document.querySelectorAll('.phrase')) {
  const groups = [...section.querySelectorAll('[data-note],[data-row]')];
  const mark = (name, ids) =>
    groups.forEach(g => g.classList.toggle(name, ids.has(g.dataset.note || g.dataset.row)));
  const buttons = section.querySelectorAll('[data-notes]');
  for (const button of buttons) {
    button.addEventListener('click', () => {
      const on = button.getAttribute('aria-pressed') !== 'true';
      buttons.forEach(b => b.setAttribute('aria-pressed', String(b === button && on)));
      mark('lit', new Set(on ? JSON.parse(button.dataset.notes) : []));
    });
  }
  const listen = section.querySelector('.listen');
  if (listen) player(listen, mark);
}
for (const listen of document.querySelectorAll('.plan .listen')) player(listen, () => {});

function player(listen, mark) {
  const audio = listen.querySelector('audio');
  const buttons = [...listen.querySelectorAll('.choice button')];
  let times = JSON.parse(audio.dataset.times);
  const show = () => {
    const t = audio.currentTime;
    mark('now', new Set(times.filter(n => n[1] <= t && t < n[2]).map(n => n[0])));
    if (!audio.paused) requestAnimationFrame(show);
  };
  if (buttons.length) buttons[0].dataset.src = audio.getAttribute('src');
  for (const button of buttons) {
    button.addEventListener('click', () => {
      const other = button.getAttribute('aria-pressed') !== 'true';
      buttons.forEach(b => b.setAttribute('aria-pressed', String(b === button)));
      if (other) {
        audio.src = button.dataset.src;
        audio.setAttribute('aria-label', `${audio.dataset.title}, ${button.textContent}`);
        times = JSON.parse(button.dataset.times);
      }
      audio.play().catch(() => {}); // paused again before it began
    });
  }
  audio.addEventListener('play', () => {
    document.querySelectorAll('audio').forEach(a => { if (a !== audio) a.pause(); });
    show();
  });
  audio.addEventListener('seeked', show);
  audio.addEventListener('ended', () => mark('now', new Set()));
  listen.querySelector('.loop').addEventListener('change', e => { audio.loop = e.target.checked; });
}
