namespace TurfWatch.Mail;

/// <summary>The relay that takes our mail.</summary>
public sealed class SmtpOptions
{
    public const string Section = "Mail:Smtp";

    /// <summary>Host name of the relay; empty means that mail is written to a folder.</summary>
    public string Host { get; set; } = "";

    /// <summary>Port of the relay; null means 587, or 465 with Tls, or 25 with None.</summary>
    public int? Port { get; set; }

    /// <summary>StartTls, Tls or None.</summary>
    public MailSecurity Security { get; set; } = MailSecurity.StartTls;

    /// <summary>Lets Security be None for a relay on another machine; a login is still never sent unprotected.</summary>
    public bool AllowUnencrypted { get; set; }

    /// <summary>File with the certificate (PEM) of a private authority that signed the relay's certificate; empty means the system's authorities.</summary>
    public string CaFile { get; set; } = "";

    /// <summary>Asks the authority whether the relay's certificate was withdrawn.</summary>
    public bool CheckCertificateRevocation { get; set; } = true;

    /// <summary>Login name; empty means no login.</summary>
    public string Username { get; set; } = "";

    /// <summary>Password; better kept in PasswordFile.</summary>
    public string Password { get; set; } = "";

    /// <summary>File whose first line is the password.</summary>
    public string PasswordFile { get; set; } = "";

    /// <summary>Longest wait for connection, greeting, encryption and login together.</summary>
    public TimeSpan ConnectTimeout { get; set; } = TimeSpan.FromSeconds(60);

    /// <summary>Longest wait for the answer to one command.</summary>
    public TimeSpan CommandTimeout { get; set; } = TimeSpan.FromSeconds(60);

    /// <summary>Longest wait for the answer to the finished message (RFC 5321, 4.5.3.2.6: 10 minutes, lest it be delivered twice).</summary>
    public TimeSpan FinalReplyTimeout { get; set; } = TimeSpan.FromMinutes(10);

    /// <summary>Most connections held at once.</summary>
    public int Connections { get; set; } = 2;

    /// <summary>Messages sent over one connection before a new one is opened.</summary>
    public int MessagesPerConnection { get; set; } = 100;

    /// <summary>Idle time after which a held connection is given up.</summary>
    public TimeSpan IdleTimeout { get; set; } = TimeSpan.FromSeconds(30);

    /// <summary>A relay is named: mail is sent for real.</summary>
    public bool Configured => Host.Length > 0;

    internal int EffectivePort =>
        Port
        ?? Security switch
        {
            MailSecurity.Tls => 465,
            MailSecurity.None => 25,
            _ => 587,
        };

    internal bool Loopback => IsThisMachine(Host);

    internal static bool IsThisMachine(string host) =>
        string.Equals(host, "localhost", StringComparison.OrdinalIgnoreCase)
        || (System.Net.IPAddress.TryParse(host, out var ip) && System.Net.IPAddress.IsLoopback(ip));

    public IEnumerable<string> Faults()
    {
        if (!Configured)
        {
            yield break;
        }

        if (Uri.CheckHostName(Host) == UriHostNameType.Unknown)
        {
            yield return $"{Section}:Host is '{Host}'; write a host name such as smtp.example.org, without scheme or port.";
        }

        if (Port is < 1 or > 65535)
        {
            yield return $"{Section}:Port is {Port}; write a number from 1 to 65535, usually 587.";
        }

        if (Security == MailSecurity.None && !Loopback && !AllowUnencrypted)
        {
            yield return $"{Section}:Security is None for '{Host}', which is another machine; write StartTls or Tls, or set {Section}:AllowUnencrypted to true if you accept that anyone on the way can read the mail.";
        }

        if (Security == MailSecurity.None && !Loopback && Username.Length > 0)
        {
            yield return $"{Section}:Username is set while {Section}:Security is None; a login is never sent unprotected to another machine: write StartTls or Tls, or remove the login.";
        }

        if (Username.Length > 0 && Password.Length == 0 && PasswordFile.Length == 0)
        {
            yield return $"{Section}:Username is set without a password; write {Section}:PasswordFile (a file whose first line is the password) or {Section}:Password.";
        }

        if (Password.Length > 0 && PasswordFile.Length > 0)
        {
            yield return $"{Section}:Password and {Section}:PasswordFile are both set; keep one of them.";
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

        foreach (
            var (key, value, least, most) in new[]
            {
                (nameof(ConnectTimeout), ConnectTimeout, 5, 300),
                (nameof(CommandTimeout), CommandTimeout, 5, 300),
                (nameof(FinalReplyTimeout), FinalReplyTimeout, 600, 3600),
                (nameof(IdleTimeout), IdleTimeout, 1, 300),
            }
        )
        {
            if (value.TotalSeconds < least || value.TotalSeconds > most)
            {
                yield return $"{Section}:{key} is {value}; write a time from {TimeSpan.FromSeconds(least)} to {TimeSpan.FromSeconds(most)} (hours:minutes:seconds).";
            }
        }

        if (Connections is < 1 or > 50)
        {
            yield return $"{Section}:Connections is {Connections}; write a number from 1 to 50.";
        }

        if (MessagesPerConnection < 1)
        {
            yield return $"{Section}:MessagesPerConnection is {MessagesPerConnection}; write 1 or more.";
        }
    }
}
