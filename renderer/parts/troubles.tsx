import { putAway, troubles } from '../state/troubles.ts';
import { Press } from './press.tsx';

/** Every trouble not yet put away: what, where, and what to do next. */
export function Troubles() {
  return (
    <div class="troubles" role="alert">
      {troubles.value.map(({ source, trouble }) => (
        <div class="trouble" key={source}>
          <div>
            <p>
              <strong>{trouble.what}</strong>
            </p>
            {trouble.where !== null && <p class="soft">{trouble.where}</p>}
            <p>{trouble.next}</p>
          </div>
          <Press slim onPress={() => putAway(source)}>
            Put away
          </Press>
        </div>
      ))}
    </div>
  );
}
