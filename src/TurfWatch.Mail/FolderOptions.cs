namespace TurfWatch.Mail;

/// <summary>Where mail is written when no relay is named.</summary>
public sealed class FolderOptions
{
    public const string Section = "Mail:Folder";

    /// <summary>Folder for the messages, one .eml file each; a relative path starts at the data directory.</summary>
    public string Path { get; set; } = "mail";

    public IEnumerable<string> Faults()
    {
        if (string.IsNullOrWhiteSpace(Path))
        {
            yield return $"{Section}:Path is empty; write a folder such as mail.";
        }
    }
}
