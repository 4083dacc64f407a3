// Puts the chosen theme on <html> before the first paint.
(() => {
  try {
    const theme = localStorage.getItem('sparktrail/1/theme');
    if (theme === 'light' || theme === 'dark') document.documentElement.dataset.theme = theme;
  } catch {
    // Storage is closed to this page: the system's theme applies.
  }
})();
