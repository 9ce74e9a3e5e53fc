interface FileFieldProps {
  readonly label: string;
  readonly accept: string;
  readonly onFile: (file: File) => void;
}

/** A file of this machine, chosen with the dialog of browser or desktop. */
export function FileField({ label, accept, onFile }: FileFieldProps) {
  return (
    <label class="file-field">
      {label}
      <input
        type="file"
        accept={accept}
        onChange={(event) => {
          const [file] = event.currentTarget.files ?? [];
          if (file !== undefined) onFile(file);
          // The same file may be opened again once it was mended.
          event.currentTarget.value = '';
        }}
      />
    </label>
  );
}
