// Entries made in the garden, kept on this phone until the server has taken each of them once.
// Runs in pages and in the service worker; `Outbox.ask` is the address that tells who is signed in.
self.Outbox = (() => {
  const STORE = "entries";
  const PATIENCE_MS = 15000;

  const opened = () => new Promise((done, failed) => {
    const asked = indexedDB.open("outbox", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(STORE, { keyPath: "id", autoIncrement: true });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });

  // Settled only when the disk has it: a page may be killed in the next moment.
  const act = async (mode, what) => {
    const base = await opened();
    try {
      return await new Promise((done, failed) => {
        const step = base.transaction(STORE, mode, { durability: "strict" });
        const asked = what(step.objectStore(STORE));
        step.oncomplete = () => done(asked.result);
        step.onabort = () => failed(step.error ?? asked.error);
      });
    } finally {
      base.close();
    }
  };

  const all = () => act("readonly", (store) => store.getAll());
  const put = (entry) => act("readwrite", (store) => store.put(entry));
  const remove = (id) => act("readwrite", (store) => store.delete(id));

  // Send one entry; the answer's kind decides whether it stays.
  const post = async (entry, who) => {
    const body = new FormData();
    for (const [name, value] of entry.fields) {
      if (value instanceof Blob) body.append(name, value, "photo.jpg");
      else body.append(name, value);
    }
    const answer = await fetch(entry.address, {
      method: "POST", body, redirect: "manual", signal: AbortSignal.timeout(PATIENCE_MS),
      headers: { "X-CSRFToken": who.token, "Outbox-Key": entry.key, "Outbox-User": entry.user },
    });
    const said = answer.headers.get("Content-Type")?.includes("json") ? await answer.json() : null;
    if (answer.status === 200 && said) return { taken: true, go: said.go };
    if (answer.status === 401) return { signedOut: true };
    if (said && answer.status < 500) return { wrong: said.wrong };
    return { later: true };  // the server's own trouble, or a token that has just changed
  };

  // Send this person's entries in the order of their making. What is wrong stays, with what is wrong about it.
  const sendAll = async () => {
    const told = { taken: [], wrong: [], state: "" };
    const waiting = (await all()).filter((entry) => !entry.wrong);
    if (!waiting.length) return told;
    try {
      const asked = await fetch(self.Outbox.ask, { cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS) });
      if (!asked.ok) return { ...told, state: "no signal" };
      const who = await asked.json();
      if (who.user === null) return { ...told, state: "signed out" };
      for (const entry of waiting.filter((one) => one.user === String(who.user))) {
        const answer = await post(entry, who);
        if (answer.signedOut) return { ...told, state: "signed out" };
        if (answer.taken) {
          await remove(entry.id);
          told.taken.push({ ...entry, go: answer.go });
        } else if (answer.wrong) {
          await put({ ...entry, wrong: answer.wrong });
          told.wrong.push(entry.id);
        }
      }
    } catch (fault) {
      if (fault.name === "QuotaExceededError") throw fault;
      told.state = "no signal";
    }
    return told;
  };

  // One sender at a time, whatever pages are open; the server would refuse to double anything all the same.
  const send = () => (navigator.locks ? navigator.locks.request("outbox", sendAll) : sendAll());

  return { ask: "", all, put, remove, send };
})();
