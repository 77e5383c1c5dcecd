using System.Text.RegularExpressions;

namespace TurfWatch.Mail;

/// <summary>
/// What a server says of a login that it refused, without the login: some repeat what they heard, and what they say
/// goes to logs and health pages.
/// </summary>
internal static partial class LoginText
{
    public static string Struck(string said, string password, string passwordFile)
    {
        var secret = passwordFile.Length > 0 ? FirstLine(passwordFile) : password;
        var text =
            secret.Length > 0
                ? said.Replace(secret, "…", StringComparison.OrdinalIgnoreCase)
                : said;
        return Encoded().Replace(text, "…");
    }

    private static string FirstLine(string file)
    {
        try
        {
            return File.ReadLines(file).FirstOrDefault("");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return "";
        }
    }

    // Base64, as logins are sent (RFC 4954 4), with at least one digit or sign of it: long words are only words.
    [GeneratedRegex(
        @"(?=[A-Za-z0-9+/=]*[0-9+/=])[A-Za-z0-9+/=]{12,}",
        RegexOptions.CultureInvariant,
        1000
    )]
    private static partial Regex Encoded();
}
