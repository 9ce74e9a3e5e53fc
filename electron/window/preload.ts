import { contextBridge, ipcRenderer } from 'electron';
import type { BenchView, HostBridge } from '../host/table.ts';
import { BENCH, CALL } from './channels.ts';

const bridge = {
  call: (name, input, bench) =>
    ipcRenderer.invoke(CALL, name, bench === undefined ? input : { ...input, bench }),
  onBench: (listener) => {
    const heard = (_event: unknown, view: BenchView): void => listener(view);
    ipcRenderer.on(BENCH, heard);
    return () => {
      ipcRenderer.off(BENCH, heard);
    };
  },
} satisfies HostBridge;

contextBridge.exposeInMainWorld('pourwright', bridge);
