using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;
using NodaTime;
using NodaTime.Text;

namespace TurfWatch.Mail;

/// <summary>What a key in the key file is good for.</summary>
public enum LinkKeyUse
{
    /// <summary>It signs new links, and its links are good.</summary>
    Signs,

    /// <summary>Its links are still good.</summary>
    Verifies,

    /// <summary>
    /// Its links are good no more. It only makes the names and address marks that must stay what they are: a mark under
    /// another key would no longer be found.
    /// </summary>
    NamesOnly,
}

/// <summary>A key of the key file, without the key itself.</summary>
/// <param name="Id">Its id, which each link carries.</param>
/// <param name="Use">What it is good for.</param>
/// <param name="MadeAt">When it was made; null when the file does not say.</param>
/// <param name="SignedUntil">When a newer key took over; null when it still signs, or the file does not say.</param>
public sealed record LinkKey(string Id, LinkKeyUse Use, Instant? MadeAt, Instant? SignedUntil)
{
    /// <summary>Until when mail that was sent in time leans on it; null when it still signs, or that is not known.</summary>
    public Instant? NeededUntil => SignedUntil + LinkKeyFile.Promise;
}

/// <summary>
/// The file of the keys behind tokens and names, one key a line: <c>id base64url made [names]</c>. The first line signs;
/// all but those marked <c>names</c> verify; the last makes names. A running service takes a changed file up by itself.
/// </summary>
public static class LinkKeyFile
{
    /// <summary>
    /// How long a link of any kind must work after its key last signed: 30 days from the sending (US law asks that of ways to
    /// leave, 15 USC 7704(a)(3)(A)(ii)), and mail may wait for some days before it is sent.
    /// </summary>
    public static readonly Duration Promise = Duration.FromDays(35);

    internal const int KeyBytes = 32;

    private const string NamesOnly = "names";

    private static readonly InstantPattern Stamp = InstantPattern.ExtendedIso;

    /// <summary>The keys of a data directory, the one that signs first.</summary>
    /// <exception cref="InvalidDataException">There is no such file, or it is damaged; the message says what to do.</exception>
    public static IReadOnlyList<LinkKey> List(string dataDirectory)
    {
        var lines = Read(Existing(dataDirectory));
        return
        [
            .. lines.Select(
                (line, place) =>
                    new LinkKey(
                        line.Id,
                        place == 0 ? LinkKeyUse.Signs
                            : line.NamesOnly ? LinkKeyUse.NamesOnly
                            : LinkKeyUse.Verifies,
                        line.MadeAt,
                        place == 0 ? null : lines[place - 1].MadeAt
                    )
            ),
        ];
    }

    /// <summary>Puts a new key on top, which signs from now on. Old links stay good. Returns its id.</summary>
    /// <exception cref="InvalidDataException">There is no such file, or it is damaged.</exception>
    /// <exception cref="IOException">Another program changes the file just now, or it cannot be written.</exception>
    public static string Rotate(string dataDirectory, Instant now)
    {
        var path = Existing(dataDirectory);
        var made = KeyLine.Make(now);
        Change(path, lines => [made, .. lines]);
        return made.Id;
    }

    /// <summary>
    /// Ends the links of a key. The oldest stays in the file for names alone; any other is deleted.
    /// </summary>
    /// <exception cref="ArgumentException">There is no such key, it signs, or it is for names alone already.</exception>
    /// <exception cref="IOException">Another program changes the file just now, or it cannot be written.</exception>
    public static void Retire(string dataDirectory, string id) =>
        Change(
            Existing(dataDirectory),
            lines =>
            {
                var place = lines.FindIndex(l => string.Equals(l.Id, id, StringComparison.Ordinal));
                if (place < 1 || lines[place].NamesOnly)
                {
                    throw new ArgumentException(
                        $"'{id}' is no key that could be retired",
                        nameof(id)
                    );
                }

                return place == lines.Count - 1
                    ? [.. lines[..^1], lines[^1] with { NamesOnly = true }]
                    : [.. lines[..place], .. lines[(place + 1)..]];
            }
        );

    /// <exception cref="InvalidDataException">The file is damaged; the message says what to do.</exception>
    internal static List<KeyLine> Read(string path)
    {
        var lines = File.ReadLines(path)
            .Where(l => !string.IsNullOrWhiteSpace(l))
            .Select(l => Parse(l, path))
            .ToList();
        return lines.Count == 0 ? throw Damaged(path, "it is empty")
            : lines[0].NamesOnly ? throw Damaged(path, "its first key may not sign")
            : lines;
    }

    /// <summary>Makes the file with a first key; one that another process made meanwhile counts.</summary>
    internal static void Create(string path)
    {
        var made = KeyLine.Make(madeAt: null);
        var draft = $"{path}.{made.Id}.new";
        using (var file = NewFile(draft))
        {
            Write(file, [made]);
        }

        try
        {
            File.Move(draft, path, overwrite: false);
        }
        catch (IOException) when (File.Exists(path))
        {
            File.Delete(draft);
        }
    }

    private static string Existing(string dataDirectory)
    {
        var path = Path.Combine(dataDirectory, LinkTokens.FileName);
        return File.Exists(path)
            ? path
            : throw new InvalidDataException(
                $"There is no key file {path} yet. The service makes it when it first starts; check Store:DataDirectory if it has."
            );
    }

    private static void Change(string path, Func<List<KeyLine>, IReadOnlyList<KeyLine>> change)
    {
        // The draft keeps a second program out, and the file is there whole, old or new, at any moment.
        var draft = path + ".new";
        FileStream file;
        try
        {
            file = NewFile(draft);
        }
        catch (IOException e) when (File.Exists(draft))
        {
            throw new IOException(
                $"the file {draft} is there: another program changes the keys just now, or one was cut off while it did. If none runs, delete that file and try again",
                e
            );
        }

        try
        {
            using (file)
            {
                Write(file, change(Read(path)));
            }

            File.Move(draft, path, overwrite: true);
        }
        catch
        {
            File.Delete(draft);
            throw;
        }
    }

    private static FileStream NewFile(string path) =>
        new(
            path,
            new FileStreamOptions
            {
                Mode = FileMode.CreateNew,
                Access = FileAccess.Write,
                UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite,
            }
        );

    private static void Write(FileStream file, IEnumerable<KeyLine> lines)
    {
        file.Write(Encoding.ASCII.GetBytes(string.Concat(lines.Select(l => l + "\n"))));
        file.Flush(flushToDisk: true);
    }

    private static KeyLine Parse(string text, string path)
    {
        var parts = text.Split(
            ' ',
            StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries
        );
        var namesOnly = parts.Length > 2 && parts[^1] == NamesOnly;
        var words = namesOnly ? parts[..^1] : parts;
        var madeAt = words.Length == 3 ? Stamp.Parse(words[2]) : null;
        return
            words.Length is 2 or 3
            && words[0].All(char.IsAsciiLetterOrDigit)
            && LinkKeys.TryDecode(words[1], KeyBytes, out var key)
            && madeAt is null or { Success: true }
            ? new(words[0], key, madeAt?.Value, namesOnly)
            : throw Damaged(path, "a line is not 'id key time'");
    }

    private static InvalidDataException Damaged(string path, string why) =>
        new(
            $"The key file {path} cannot be used: {why}. Restore it from a backup; if there is none, delete it and start again: a new one is made, and the links in mail already sent stop working."
        );

    /// <summary>A line of the file.</summary>
    internal sealed record KeyLine(string Id, byte[] Key, Instant? MadeAt, bool NamesOnly)
    {
        public static KeyLine Make(Instant? madeAt) =>
            new(
                Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(4)),
                RandomNumberGenerator.GetBytes(KeyBytes),
                madeAt is { } at ? Instant.FromUnixTimeSeconds(at.ToUnixTimeSeconds()) : null,
                NamesOnly: false
            );

        public override string ToString() =>
            $"{Id} {Base64Url.EncodeToString(Key)}{(MadeAt is { } at ? " " + Stamp.Format(at) : "")}{(NamesOnly ? " " + LinkKeyFile.NamesOnly : "")}";
    }
}
