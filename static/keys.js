// Shows the buttons of passkeys and keys where the browser can use them, and says beside a button that one was
// refused; the package that asks for the key only tells the console.
"use strict";
document.addEventListener("DOMContentLoaded", () => {
  if (!window.PublicKeyCredential) return;
  for (const button of document.querySelectorAll("[data-key-button]")) button.hidden = false;
});
document.addEventListener("allauth.error", (event) => {
  const told = document.querySelector("[data-key-failed]");
  if (!told) return;
  event.preventDefault();
  told.hidden = false;
});
