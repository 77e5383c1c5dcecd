using NodaTime.Text;
using TurfWatch.Core;

namespace TurfWatch.Mail;

/// <summary>Writes each message to a file of its own. Nothing is ever overwritten, and a file is there whole or not at all.</summary>
public sealed class FolderTransport(string folder) : IMailTransport
{
    private static readonly InstantPattern Stamp = InstantPattern.CreateWithInvariantCulture(
        "uuuuMMdd'T'HHmmss'Z'"
    );

    public async Task<SendOutcome> SendAsync(
        OutboxMessage message,
        CancellationToken cancellationToken
    )
    {
        var name = NameOf(message);
        var draft = Path.Combine(folder, $".{name}.{Guid.NewGuid():N}.part");
        try
        {
            Directory.CreateDirectory(folder);
            await WriteAsync(draft, message.Content, cancellationToken);
            for (var copy = 1; ; copy++)
            {
                var path = Path.Combine(folder, copy == 1 ? $"{name}.eml" : $"{name}-{copy}.eml");
                if (!File.Exists(path))
                {
                    File.Move(draft, path, overwrite: false);
                    return new SendOutcome.Accepted($"written to {path}");
                }

                if (File.ReadAllBytes(path).AsSpan().SequenceEqual(message.Content))
                {
                    File.Delete(draft);
                    return new SendOutcome.Accepted($"already written to {path}");
                }
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            Forget(draft);
            return new SendOutcome.RelayDown(
                $"the mail folder {folder} cannot be written: {e.Message}"
            );
        }
        catch (OperationCanceledException)
        {
            Forget(draft);
            throw;
        }
    }

    /// <summary>Deletes what was written of these messages. Files that somebody moved or renamed are theirs.</summary>
    public static void Forget(string folder, IEnumerable<OutboxMessage> messages)
    {
        if (!Directory.Exists(folder))
        {
            return;
        }

        foreach (var name in messages.Where(m => m.MessageId.Length > 0).Select(NameOf))
        {
            // The message, its copies, and drafts of it; the names have none of the signs that a pattern reads.
            foreach (var path in Directory.GetFiles(folder, $"*{name}*"))
            {
                File.Delete(path);
            }
        }
    }

    private static async Task WriteAsync(
        string path,
        byte[] content,
        CancellationToken cancellationToken
    )
    {
        // Messages hold personal links, so nobody else may read them.
        await using var file = new FileStream(
            path,
            new FileStreamOptions
            {
                Mode = FileMode.CreateNew,
                Access = FileAccess.Write,
                UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite,
            }
        );
        await file.WriteAsync(content, cancellationToken);
        file.Flush(flushToDisk: true);
    }

    private static void Forget(string draft)
    {
        try
        {
            File.Delete(draft);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // It is a draft under a hidden name; the outcome already says what is wrong with the folder.
        }
    }

    private static string NameOf(OutboxMessage message) =>
        $"{Stamp.Format(message.NotBefore)}-{Safe(message.MessageId)}";

    private static string Safe(string messageId)
    {
        var local = messageId.Split('@')[0];
        return string.Concat(local.Take(64).Where(c => char.IsAsciiLetterOrDigit(c) || c == '-'));
    }
}
