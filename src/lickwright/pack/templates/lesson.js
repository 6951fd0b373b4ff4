for (const section of document.querySelectorAll('.phrase')) {
  const groups = [...section.querySelectorAll('[data-note]')];
  const mark = (name, ids) => groups.forEach(g => g.classList.toggle(name, ids.has(g.dataset.note)));
  for (const button of section.querySelectorAll('[data-notes]')) {
    button.setAttribute('aria-pressed', 'false');
    button.addEventListener('click', () => {
      const on = button.getAttribute('aria-pressed') !== 'true';
      section.querySelectorAll('[data-notes]').forEach(b => b.setAttribute('aria-pressed', 'false'));
      button.setAttribute('aria-pressed', String(on));
      mark('lit', new Set(on ? JSON.parse(button.dataset.notes) : []));
    });
  }
  for (const audio of section.querySelectorAll('audio')) {
    const times = JSON.parse(audio.dataset.times);
    const show = () => {
      const t = audio.currentTime;
      mark('now', new Set(times.filter(n => n[1] <= t && t < n[2]).map(n => n[0])));
      if (!audio.paused) requestAnimationFrame(show);
    };
    audio.addEventListener('play', () => {
      document.querySelectorAll('audio').forEach(a => { if (a !== audio) a.pause(); });
      show();
    });
    audio.addEventListener('ended', () => mark('now', new Set()));
  }
}
