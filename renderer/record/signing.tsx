import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { Tick } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { fetchSigning, sign, signing, signingTrouble } from '../state/signing.ts';

function PublicKey({ text }: { text: string }) {
  const copied = useSignal<string | null>(null);
  const copy = async (): Promise<void> => {
    try {
      await navigator.clipboard.writeText(text);
      copied.value = 'Copied.';
    } catch {
      copied.value = 'It could not be copied: mark the key and copy it by hand.';
    }
  };
  return (
    <>
      <label class="public-key">
        Public key, Ed25519
        <input
          type="text"
          readOnly
          spellcheck={false}
          value={text}
          onFocus={(event) => event.currentTarget.select()}
        />
      </label>
      <div class="row">
        <Press slim onPress={() => void copy()}>
          Copy the public key
        </Press>
        <span role="status" class="soft">
          {copied.value}
        </span>
      </div>
    </>
  );
}

/** Signing of documents by the key of this machine, and how who receives one checks it. */
export function Signing() {
  useEffect(() => void fetchSigning(), []);
  const now = signing.value;
  const trouble = signingTrouble.value;
  if (now === null && trouble === null) return null;
  return (
    <section class="signing" aria-labelledby="signing">
      <h2 id="signing" class="caption">
        Signature
      </h2>
      <p>
        {now?.made === false
          ? 'This machine has no key to sign with yet; the tick makes one.'
          : 'This machine has a key to sign with.'}{' '}
        <span class="soft">
          It stays in the data folder, readable by its owner alone; no backup holds it.
        </span>
      </p>
      <Tick label="Sign records that are handed over" on={now?.on ?? true} onTick={(on) => void sign(on)} />
      <InPlace id="told-signing" trouble={trouble} />
      {typeof now?.publicKey === 'string' && <PublicKey text={now.publicKey} />}
      <p class="soft">
        A client checks a signed record, or a batch folder, with this program's console:{' '}
        <code>verify as-made.json</code>. It recomputes the record and says by which key it was signed. Give
        the public key by another way than the record, so that the client can compare the two: a signature
        proves whose key it was, and not whose the key is.
      </p>
    </section>
  );
}
