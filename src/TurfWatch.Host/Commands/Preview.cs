using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Configuration;
using TurfWatch.Mail;
using TurfWatch.Mail.Reading;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary>Writes a message as the service would make it to files.</summary>
internal static class Preview
{
    public sealed record Written(string Text, IReadOnlyList<string> Files);

    /// <param name="settings">Sender and mailbox are taken from them.</param>
    /// <param name="content">What the message says.</param>
    /// <param name="suffix">Follows ZIP code and date in the names of the files.</param>
    /// <param name="folder">Where they go.</param>
    /// <param name="cancel">Cancels.</param>
    public static async Task<Written> WriteAsync(
        Settings settings,
        MessageContent content,
        string suffix,
        string folder,
        CancellationToken cancel
    )
    {
        // A preview must not make the service's key file; its links lead nowhere.
        using var keys = new TemporaryFolder();
        var composer = new MessageComposer(
            settings.Get<SenderOptions>(),
            LinkTokens.Open(keys.Path),
            settings.Get<InboxOptions>()
        );
        var subscriber = new Subscriber(0, "you@example.org", SubscriberStatus.Active);
        var parts = composer.Render(content, subscriber);
        var lawn = content.Lawn;
        var due = LocalDue.At(content.Date, lawn.MessageTime, lawn.Place.Zone);
        var row = composer.Compose(
            content,
            subscriber,
            DueMorning.KeyOf(content.Date, 0),
            due,
            due + Duration.FromHours(2.5)
        );
        Directory.CreateDirectory(folder);
        var name = Path.Combine(folder, $"{lawn.Place.Zip}-{content.Date:uuuu-MM-dd}{suffix}");
        string[] files = [name + ".txt", name + ".html", name + ".eml"];
        await File.WriteAllTextAsync(files[0], parts.Text, cancel);
        await File.WriteAllTextAsync(files[1], parts.Html, cancel);
        await File.WriteAllBytesAsync(files[2], row.Content, cancel);
        return new Written($"Subject: {parts.Subject}\n\n{parts.Text}", files);
    }
}

/// <summary>A folder that is gone when it is no longer needed.</summary>
internal sealed class TemporaryFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("turfwatch-").FullName;

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
