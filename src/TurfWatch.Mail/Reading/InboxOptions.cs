namespace TurfWatch.Mail.Reading;

/// <summary>The mailbox that people's answers and refused mail come to.</summary>
public sealed class InboxOptions
{
    public const string Section = "Mail:Inbox";

    /// <summary>IDLE must be given again before servers and firewalls lose patience (RFC 2177: 29 minutes; many are shorter).</summary>
    internal static readonly TimeSpan LongestIdle = TimeSpan.FromMinutes(9);

    // RFC 5321 4.5.3.1.1: 64 letters before the @; the delimiter and the token take theirs.
    private const int LongestLocalPart = 64 - 1 - LinkTokens.LongestAddressToken;

    /// <summary>Host name of the IMAP server; empty means that no mail is read.</summary>
    public string Host { get; set; } = "";

    /// <summary>Port of the server; null means 993 with Tls, else 143.</summary>
    public int? Port { get; set; }

    /// <summary>Tls, StartTls or None.</summary>
    public MailSecurity Security { get; set; } = MailSecurity.Tls;

    /// <summary>File with the certificate (PEM) of a private authority that signed the server's certificate; empty means the system's authorities.</summary>
    public string CaFile { get; set; } = "";

    /// <summary>Asks the authority whether the server's certificate was withdrawn.</summary>
    public bool CheckCertificateRevocation { get; set; } = true;

    /// <summary>Login name.</summary>
    public string Username { get; set; } = "";

    /// <summary>Password; better kept in PasswordFile.</summary>
    public string Password { get; set; } = "";

    /// <summary>File whose first line is the password.</summary>
    public string PasswordFile { get; set; } = "";

    /// <summary>Address that people write to; mail to the same address with a token added (lawn+token@example.org) must arrive in the same mailbox.</summary>
    public string Address { get; set; } = "";

    /// <summary>Address that refused mail returns to, with a token added; empty means Address.</summary>
    public string BounceAddress { get; set; } = "";

    /// <summary>What parts the name from the token in an address.</summary>
    public string Delimiter { get; set; } = "+";

    /// <summary>Folder that new mail is in.</summary>
    public string Folder { get; set; } = "INBOX";

    /// <summary>Folder that mail goes to once it was understood and acted on.</summary>
    public string DoneFolder { get; set; } = "TurfWatch-Done";

    /// <summary>Folder that mail goes to when nothing could be made of it.</summary>
    public string NotUnderstoodFolder { get; set; } = "TurfWatch-NotUnderstood";

    /// <summary>So much of a message is fetched [KiB]; what lies beyond (pictures, mostly) is not looked at.</summary>
    public int MaxKilobytes { get; set; } = 256;

    /// <summary>Longest wait for connection, greeting, encryption and login together.</summary>
    public TimeSpan ConnectTimeout { get; set; } = TimeSpan.FromSeconds(60);

    /// <summary>Longest wait for the answer to one command.</summary>
    public TimeSpan CommandTimeout { get; set; } = TimeSpan.FromSeconds(60);

    /// <summary>How often a server that cannot announce new mail (IMAP IDLE) is asked for it.</summary>
    public TimeSpan PollEvery { get; set; } = TimeSpan.FromMinutes(1);

    /// <summary>Longest wait before a lost server is tried again; the first is 5 seconds, and each is double the last.</summary>
    public TimeSpan ReconnectCap { get; set; } = TimeSpan.FromMinutes(5);

    /// <summary>A mailbox is named: mail is read.</summary>
    public bool Configured => Host.Length > 0;

    internal int EffectivePort => Port ?? (Security == MailSecurity.Tls ? 993 : 143);

    internal string Returns => BounceAddress.Length > 0 ? BounceAddress : Address;

    /// <summary>Where an answer with this token goes.</summary>
    internal string ReplyAddress(string token) => Tokened(Address, token);

    /// <summary>Where a message with this token returns to when it is refused.</summary>
    internal string ReturnAddress(string token) => Tokened(Returns, token);

    public IEnumerable<string> Faults()
    {
        if (!Configured)
        {
            if (Address.Length > 0)
            {
                yield return $"{Section}:Address is '{Address}' without a mailbox to read; write {Section}:Host (the IMAP server), or remove the address.";
            }

            yield break;
        }

        if (Uri.CheckHostName(Host) == UriHostNameType.Unknown)
        {
            yield return $"{Section}:Host is '{Host}'; write a host name such as imap.example.org, without scheme or port.";
        }

        if (Port is < 1 or > 65535)
        {
            yield return $"{Section}:Port is {Port}; write a number from 1 to 65535, usually 993.";
        }

        if (Security == MailSecurity.None && !SmtpOptions.IsThisMachine(Host))
        {
            yield return $"{Section}:Security is None for '{Host}', which is another machine; a login is never sent unprotected: write Tls or StartTls.";
        }

        if (Username.Length == 0)
        {
            yield return $"{Section}:Username is empty; write the login name of the mailbox.";
        }

        if (Password.Length == 0 == (PasswordFile.Length == 0))
        {
            yield return Password.Length == 0
                ? $"{Section}:Password is empty; write {Section}:PasswordFile (a file whose first line is the password) or {Section}:Password."
                : $"{Section}:Password and {Section}:PasswordFile are both set; keep one of them.";
        }

        foreach (
            var (key, file) in new[]
            {
                (nameof(PasswordFile), PasswordFile),
                (nameof(CaFile), CaFile),
            }
        )
        {
            if (file.Length > 0 && !File.Exists(file))
            {
                yield return $"{Section}:{key} is '{file}', which does not exist or cannot be read; write the path of a readable file.";
            }
        }

        foreach (var fault in AddressFaults().Concat(FolderFaults()).Concat(LimitFaults()))
        {
            yield return fault;
        }
    }

    private IEnumerable<string> AddressFaults()
    {
        if (Delimiter is not ("+" or "-" or "=" or "_" or "."))
        {
            yield return $"{Section}:Delimiter is '{Delimiter}'; write the one sign that your mail server parts names from tokens with, usually +.";
        }

        foreach (
            var (key, value) in new[]
            {
                (nameof(Address), Address),
                (nameof(BounceAddress), BounceAddress),
            }
        )
        {
            if (value.Length == 0 && key == nameof(BounceAddress))
            {
                continue;
            }

            if (AddressRule.Check(value).Problem is { } problem)
            {
                yield return $"{Section}:{key} is '{value}': {problem} Write the bare address of the mailbox, such as lawn@example.org.";
            }
            else if (
                value.LastIndexOf('@') > LongestLocalPart
                || !value[..value.LastIndexOf('@')].All(IsPlain)
            )
            {
                yield return $"{Section}:{key} is '{value}'; write an address of plain letters, digits, - and . with at most {LongestLocalPart} of them before the @, so that a token fits behind them.";
            }
        }
    }

    private IEnumerable<string> FolderFaults()
    {
        foreach (
            var (key, value) in new[]
            {
                (nameof(Folder), Folder),
                (nameof(DoneFolder), DoneFolder),
                (nameof(NotUnderstoodFolder), NotUnderstoodFolder),
            }
        )
        {
            if (string.IsNullOrWhiteSpace(value) || value.Any(char.IsControl))
            {
                yield return $"{Section}:{key} is '{value}'; write the name of a folder of the mailbox.";
            }
        }

        if (
            new[] { Folder, DoneFolder, NotUnderstoodFolder }
                .Distinct(StringComparer.OrdinalIgnoreCase)
                .Count() < 3
        )
        {
            yield return $"{Section}:Folder, DoneFolder and NotUnderstoodFolder are '{Folder}', '{DoneFolder}' and '{NotUnderstoodFolder}'; write three different names.";
        }
    }

    private IEnumerable<string> LimitFaults()
    {
        if (MaxKilobytes is < 64 or > 10240)
        {
            yield return $"{Section}:MaxKilobytes is {MaxKilobytes}; write a number from 64 to 10240.";
        }

        foreach (
            var (key, value, least, most) in new[]
            {
                (nameof(ConnectTimeout), ConnectTimeout, 5, 300),
                (nameof(CommandTimeout), CommandTimeout, 5, 300),
                (nameof(PollEvery), PollEvery, 10, 3600),
                (nameof(ReconnectCap), ReconnectCap, 5, 3600),
            }
        )
        {
            if (value.TotalSeconds < least || value.TotalSeconds > most)
            {
                yield return $"{Section}:{key} is {value}; write a time from {TimeSpan.FromSeconds(least)} to {TimeSpan.FromSeconds(most)} (hours:minutes:seconds).";
            }
        }
    }

    private static bool IsPlain(char c) => char.IsAsciiLetterOrDigit(c) || c is '-' or '.' or '_';

    private string Tokened(string address, string token)
    {
        var at = address.LastIndexOf('@');
        return $"{address[..at]}{Delimiter}{token}{address[at..]}";
    }
}
