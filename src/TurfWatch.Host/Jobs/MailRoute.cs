using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>Where mail goes: to the relay when one is named, else into a folder.</summary>
public sealed record MailRoute(SmtpOptions Smtp, string Folder)
{
    public static MailRoute Of(SmtpOptions smtp, FolderOptions folder, StoreOptions store) =>
        new(smtp, Path.GetFullPath(Path.Combine(store.DataDirectory, folder.Path)));

    public bool IsFolder => !Smtp.Configured;

    /// <summary>For people: where mail goes.</summary>
    public string Sentence =>
        IsFolder
            ? $"No mail relay is configured (Mail:Smtp:Host): messages are written to {Folder}, one .eml file each."
            : $"Mail goes to the relay {Smtp.Host}.";
}
