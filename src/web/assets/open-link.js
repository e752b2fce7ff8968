// Puts the secret after the # into the form and sends it, so that it never stands in the address bar, the history or a log.
function openVisit() {
  const secret = location.hash.slice(1);
  if (secret === '' || secret === 'main') return;
  history.replaceState(null, '', location.pathname);
  const form = document.getElementById('open');
  form.elements.link.value = secret;
  document.getElementById('opening').hidden = false;
  form.hidden = true;
  form.submit();
}

openVisit();
// The link may be opened in a tab that shows this page already.
addEventListener('hashchange', openVisit);
