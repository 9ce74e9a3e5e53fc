import { contextBridge, ipcRenderer } from 'electron';
import type { BenchView, HostBridge } from '../host/table.ts';
import { BENCH, CALL } from './channels.ts';

const bridge = {
  call: (name, input) => ipcRenderer.invoke(CALL, name, input),
  onBench: (listener) => {
    const heard = (_event: unknown, view: BenchView): void => listener(view);
    ipcRenderer.on(BENCH, heard);
    return () => {
      ipcRenderer.off(BENCH, heard);
    };
  },
} satisfies HostBridge;

contextBridge.exposeInMainWorld('pourwright', bridge);
